"""What a maker writes of sheet in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading.fields import (
    Area,
    ArealMass,
    Count,
    Flag,
    Length,
    Outline,
    Part,
    Strict,
    Supplied,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(Part):
    """Parts cut from sheet goods."""

    item: Word
    length: Length
    width: Length
    quantity: Count = 1
    sheet_length: Length
    sheet_width: Length
    kerf: Length | None = None
    grain: Flag = False
    charge: Literal["whole", "area"] = "whole"
    mass_per_area: ArealMass | None = None
    shape_area: Area | None = None
    outline: Outline | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDefaults(Strict):
    """`[sheet]`: sheet goods."""

    kerf: Length
    trim: Length = 0.0
