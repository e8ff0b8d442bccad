"""What a maker writes of glass in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass(fields.Part):
    """A custom panel, at a firm price or by the glazier's tariff."""

    length: fields.Length
    width: fields.Length
    thickness: fields.Length
    quantity: fields.Count = 1
    holes: fields.CountOrNone = 0
    edge: fields.Text = ""
    treatment: Literal["annealed", "tempered", "laminated"] = "tempered"
    price: fields.MoneyRange | None = None
    tariff: fields.Text = ""
    fully_supported: fields.Flag = False
    supplier: fields.Text = ""
    lead: fields.Days | None = None
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff(fields.Strict):
    """`[glass.<tariff>]`: a glazier's price list."""

    round_side: fields.Length
    least_area: fields.Area
    per_area: dict[fields.Length, fields.MoneyPerArea]
    per_edge: dict[fields.Word, fields.MoneyPerLength]
    edge: fields.Word
    per_hole: fields.Money
    factor: dict[fields.Word, fields.Number]
    factor_on: Literal["area", "all"]
    least_charge: fields.Money = 0.0
    supplier: fields.Text = ""
    lead: fields.Days = 0.0
