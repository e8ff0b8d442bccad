"""What a maker writes of buy in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import Bought, Days, Mass, MoneyRange, Part, Supplied, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Buy(Part):
    """Anything bought."""

    naming: ClassVar = "item"
    part: Text = ""
    item: Word
    quantity: Bought
    price: MoneyRange | None = None
    mass: Mass = 0.0
    supplier: Text = ""
    lead: Days | None = None
    supplied: Supplied = "bought"
