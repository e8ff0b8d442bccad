"""What a maker writes of work in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(fields.Part):
    """Hours of a person: a total, or a time for each of several."""

    naming: ClassVar = "task"
    part: fields.Text = ""
    task: fields.Word
    who: fields.Text = ""
    hours: fields.HoursRange | None = None
    each: fields.HoursRange | None = None
    quantity: fields.Count = 1
    setup: fields.HoursRange | None = None
    learning: fields.ShareRange | None = None
    replaces: fields.Text = ""
