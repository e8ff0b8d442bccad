"""What a maker writes of outwork in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import Days, MoneyRange, Part, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Outwork(Part):
    """A subcontractor's price."""

    naming: ClassVar = "what"
    part: Text = ""
    what: Word
    price: MoneyRange
    supplier: Text = ""
    lead: Days | None = None
