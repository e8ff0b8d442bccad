"""What a maker writes of machine in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(fields.Part):
    """Hours of a machine: a total, or a surface to be covered."""

    naming: ClassVar = "task"
    part: fields.Text = ""
    task: fields.Word
    machine: fields.Word
    hours: fields.HoursRange | None = None
    area: fields.Area | None = None
    stepover: fields.Length | None = None
    feed: fields.Feed | None = None
    passes: fields.Count = 1
    setup: fields.HoursRange | None = None
    attended: fields.ShareRange | None = None
    new_part: fields.Flag = False
    who: fields.Text = ""
