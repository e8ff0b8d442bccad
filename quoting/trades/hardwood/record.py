"""What a maker writes of hardwood in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardwood(fields.Part):
    """Solid timber, by finished size."""

    species: fields.Word
    length: fields.Length
    width: fields.Length
    thickness: fields.Length
    quantity: fields.Count = 1
    rough: fields.Rough | None = None
    glued_up: fields.Flag = False
    layers: fields.Count = 1
    waste: fields.ShareRange | None = None
    yield_: Annotated[fields.ShareRange | None, Field(alias="yield")] = None
    shape_area: fields.Area | None = None
    outline: fields.Outline | None = None
    figure: Literal["plain", "matched"] = "plain"
    joints: fields.CountOrNone = 0
    joinery: fields.Word = "joint"
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber(fields.Strict):
    """`[timber]`: how boards are bought and what is lost."""

    sizes: tuple[fields.Rough, ...]
    sold_by: Literal["bd ft", "m3"]
    count_under_one_inch: fields.Flag
    tally: Literal["exact", "surface measure"]
    planing_allowance: fields.Length
    length_allowance: fields.Length
    width_allowance: fields.Length
    stave_width: fields.Length
    joint_loss: fields.Length
    waste: fields.ShareRange
    waste_matched: fields.ShareRange
    moisture: fields.Share
    kerf: fields.Length = 0.0
    end_trim: fields.Length = 0.0
    stave_least: fields.Length = 0.0
    stave_most: fields.Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSpecies(fields.Strict):
    """`[species.<name>]`: density at 12 % moisture of a timber that the reference table lacks; waste of its own."""

    density: fields.Density | None = None
    waste: fields.ShareRange | None = None
