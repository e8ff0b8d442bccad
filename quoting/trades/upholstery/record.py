"""What a maker writes of upholstery in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading.fields import (
    ArealMass,
    Count,
    Density,
    Flag,
    Length,
    Part,
    ShareRange,
    Strict,
    Supplied,
    Text,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverPiece(Strict):
    """One more piece of a cover, as it is cut: the back of a pad, a boxing strip, strips for piping."""

    name: Word
    length: Length
    width: Length
    count: Count = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Upholstery(Part):
    """Seats or pads alike, by finished size; without foam a cover that is wrapped over something."""

    length: Length
    width: Length
    thickness: Length | None = None
    quantity: Count = 1
    use: Literal["seat", "back"] = "seat"
    fabric: Word
    roll_width: Length | None = None
    repeat_along: Length = 0.0
    repeat_across: Length = 0.0
    railroaded: Flag = False
    wrap: Length | None = None
    cover: tuple[CoverPiece, ...] = ()
    waste: ShareRange | None = None
    mass_per_area: ArealMass | None = None
    foam: Text = ""
    foam_density: Density | None = None
    foam_waste: ShareRange | None = None
    sheet_length: Length | None = None
    sheet_width: Length | None = None
    webbing: Text = ""
    webbing_along: Length | None = None
    webbing_across: Length | None = None
    wadding: Text = ""
    dust_cover: Text = ""
    supplied: Supplied = "bought"
    foam_supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class UpholsteryDefaults(Strict):
    """`[upholstery]`: rolls, allowances and losses of covers, foam and webbing."""

    roll_width: Length
    turn_under: Length
    waste: ShareRange
    mass_per_area: ArealMass
    foam_density: Density
    least_density: Density
    foam_waste: ShareRange
    webbing_spacing: Length
    webbing_ends: Length
