"""What a maker writes of work in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import Count, HoursRange, Part, ShareRange, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(Part):
    """Hours of a person: a total, or a time for each of several."""

    naming: ClassVar = "task"
    part: Text = ""
    task: Word
    who: Text = ""
    hours: HoursRange | None = None
    each: HoursRange | None = None
    quantity: Count = 1
    setup: HoursRange | None = None
    learning: ShareRange | None = None
    replaces: Text = ""
