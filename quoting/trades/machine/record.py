"""What a maker writes of machine in a job. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import Area, Count, Feed, Flag, HoursRange, Length, Part, ShareRange, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Part):
    """Hours of a machine: a total, or a surface to be covered."""

    naming: ClassVar = "task"
    part: Text = ""
    task: Word
    machine: Word
    hours: HoursRange | None = None
    area: Area | None = None
    stepover: Length | None = None
    feed: Feed | None = None
    passes: Count = 1
    setup: HoursRange | None = None
    attended: ShareRange | None = None
    new_part: Flag = False
    who: Text = ""
