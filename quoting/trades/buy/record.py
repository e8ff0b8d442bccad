"""What a maker writes of buy in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Buy(fields.Part):
    """Anything bought."""

    naming: ClassVar = "item"
    part: fields.Text = ""
    item: fields.Word
    quantity: fields.Bought
    price: fields.MoneyRange | None = None
    mass: fields.Mass = 0.0
    supplier: fields.Text = ""
    lead: fields.Days | None = None
    supplied: fields.Supplied = "bought"
