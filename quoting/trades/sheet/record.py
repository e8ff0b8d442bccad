"""What a maker writes of sheet in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(fields.Part):
    """Parts cut from sheet goods."""

    item: fields.Word
    length: fields.Length
    width: fields.Length
    quantity: fields.Count = 1
    sheet_length: fields.Length
    sheet_width: fields.Length
    kerf: fields.Length | None = None
    grain: fields.Flag = False
    charge: Literal["whole", "area"] = "whole"
    mass_per_area: fields.ArealMass | None = None
    shape_area: fields.Area | None = None
    outline: fields.Outline | None = None
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDefaults(fields.Strict):
    """`[sheet]`: sheet goods."""

    kerf: fields.Length
    trim: fields.Length = 0.0
