"""Records of the shop file that the trades read: standing sizes, losses, data sheets, standard times."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from quoting.reading.fields import (
    STRICT,
    Count,
    Density,
    Hours,
    HoursRange,
    Length,
    Ratio,
    Text,
    Volume,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin:
    """`[resin.<item>]`: what the data sheet says. Volumes and densities of mixed resin."""

    __pydantic_config__: ClassVar = STRICT
    ratio_by_volume: Ratio | None = None
    ratio_by_mass: Ratio | None = None
    density: Density
    working_time: Hours
    cure_time: Hours
    pour_depth: Length
    most_in_one_mix: Volume
    heat_note: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """`[standard.<operation>]`: time of an operation, per what drives it: what trades count, or a job as a whole."""

    __pydantic_config__: ClassVar = STRICT
    per: Word
    time: HoursRange
    shaped: HoursRange | None = None
    grits: Count = 1
    setup: HoursRange | None = None
    setup_per: Literal["item", "part", "coat"] = "part"
    who: Word = "owner"
    stage: Word = "bench"
    applies_to: tuple[Word, ...]
