"""What a maker writes of upholstery in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverPiece(fields.Strict):
    """One more piece of a cover, as it is cut: the back of a pad, a boxing strip, strips for piping."""

    name: fields.Word
    length: fields.Length
    width: fields.Length
    count: fields.Count = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Upholstery(fields.Part):
    """Seats or pads alike, by finished size; without foam a cover that is wrapped over something."""

    length: fields.Length
    width: fields.Length
    thickness: fields.Length | None = None
    quantity: fields.Count = 1
    use: Literal["seat", "back"] = "seat"
    fabric: fields.Word
    roll_width: fields.Length | None = None
    repeat_along: fields.Length = 0.0
    repeat_across: fields.Length = 0.0
    railroaded: fields.Flag = False
    wrap: fields.Length | None = None
    cover: tuple[CoverPiece, ...] = ()
    waste: fields.ShareRange | None = None
    mass_per_area: fields.ArealMass | None = None
    foam: fields.Text = ""
    foam_density: fields.Density | None = None
    foam_waste: fields.ShareRange | None = None
    sheet_length: fields.Length | None = None
    sheet_width: fields.Length | None = None
    webbing: fields.Text = ""
    webbing_along: fields.Length | None = None
    webbing_across: fields.Length | None = None
    wadding: fields.Text = ""
    dust_cover: fields.Text = ""
    supplied: fields.Supplied = "bought"
    foam_supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class UpholsteryDefaults(fields.Strict):
    """`[upholstery]`: rolls, allowances and losses of covers, foam and webbing."""

    roll_width: fields.Length
    turn_under: fields.Length
    waste: fields.ShareRange
    mass_per_area: fields.ArealMass
    foam_density: fields.Density
    least_density: fields.Density
    foam_waste: fields.ShareRange
    webbing_spacing: fields.Length
    webbing_ends: fields.Length
