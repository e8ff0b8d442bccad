"""What a maker writes of setback in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Setback(fields.Part):
    """Something that may go wrong: its chance, and what it would cost."""

    naming: ClassVar = "what"
    part: fields.Text = ""
    what: fields.Word
    chance: fields.Number
    hours: fields.HoursRange | None = None
    cost: fields.MoneyRange | None = None
    who: fields.Text = ""
