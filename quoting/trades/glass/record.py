"""What a maker writes of glass in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading.fields import (
    Area,
    Count,
    CountOrNone,
    Days,
    Flag,
    Length,
    Money,
    MoneyPerArea,
    MoneyPerLength,
    MoneyRange,
    Number,
    Part,
    Strict,
    Supplied,
    Text,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass(Part):
    """A custom panel, at a firm price or by the glazier's tariff."""

    length: Length
    width: Length
    thickness: Length
    quantity: Count = 1
    holes: CountOrNone = 0
    edge: Text = ""
    treatment: Literal["annealed", "tempered", "laminated"] = "tempered"
    price: MoneyRange | None = None
    tariff: Text = ""
    fully_supported: Flag = False
    supplier: Text = ""
    lead: Days | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff(Strict):
    """`[glass.<tariff>]`: a glazier's price list."""

    round_side: Length
    least_area: Area
    per_area: dict[Length, MoneyPerArea]
    per_edge: dict[Word, MoneyPerLength]
    edge: Word
    per_hole: Money
    factor: dict[Word, Number]
    factor_on: Literal["area", "all"]
    least_charge: Money = 0.0
    supplier: Text = ""
    lead: Days = 0.0
