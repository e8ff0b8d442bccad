"""What a maker writes of hardwood in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from quoting.reading.fields import (
    Area,
    Count,
    CountOrNone,
    Density,
    Flag,
    Length,
    Outline,
    Part,
    Rough,
    Share,
    ShareRange,
    Strict,
    Supplied,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardwood(Part):
    """Solid timber, by finished size."""

    species: Word
    length: Length
    width: Length
    thickness: Length
    quantity: Count = 1
    rough: Rough | None = None
    glued_up: Flag = False
    layers: Count = 1
    waste: ShareRange | None = None
    yield_: Annotated[ShareRange | None, Field(alias="yield")] = None
    shape_area: Area | None = None
    outline: Outline | None = None
    figure: Literal["plain", "matched"] = "plain"
    joints: CountOrNone = 0
    joinery: Word = "joint"
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber(Strict):
    """`[timber]`: how boards are bought and what is lost."""

    sizes: tuple[Rough, ...]
    sold_by: Literal["bd ft", "m3"]
    count_under_one_inch: Flag
    tally: Literal["exact", "surface measure"]
    planing_allowance: Length
    length_allowance: Length
    width_allowance: Length
    stave_width: Length
    joint_loss: Length
    waste: ShareRange
    waste_matched: ShareRange
    moisture: Share
    kerf: Length = 0.0
    end_trim: Length = 0.0
    stave_least: Length = 0.0
    stave_most: Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSpecies(Strict):
    """`[species.<name>]`: density at 12 % moisture of a timber that the reference table lacks; waste of its own."""

    density: Density | None = None
    waste: ShareRange | None = None
