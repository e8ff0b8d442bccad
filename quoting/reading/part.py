"""What every entry of every trade has."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from quoting.reading.fields import (
    STRICT,
    Operation,
    Text,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What every entry of every trade has: a name, an id, a stage, times of its own."""

    __pydantic_config__: ClassVar = STRICT
    naming: ClassVar = "part"
    part: Word
    id: Text = ""
    stage: Text = ""
    standard: dict[Word, Operation] = field(default_factory=dict)
