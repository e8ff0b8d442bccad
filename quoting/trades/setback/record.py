"""What a maker writes of setback in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import HoursRange, MoneyRange, Number, Part, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Setback(Part):
    """Something that may go wrong: its chance, and what it would cost."""

    naming: ClassVar = "what"
    part: Text = ""
    what: Word
    chance: Number
    hours: HoursRange | None = None
    cost: MoneyRange | None = None
    who: Text = ""
