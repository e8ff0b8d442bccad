"""What every entry of every trade has."""

from dataclasses import dataclass, field
from typing import ClassVar

from quoting.reading.fields import Operation, Strict, Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Strict):
    """What every entry of every trade has: a name, an id, a stage, times of its own."""

    naming: ClassVar = "part"
    part: Word
    id: Text = ""
    stage: Text = ""
    standard: dict[Word, Operation] = field(default_factory=dict)
