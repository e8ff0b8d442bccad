"""What a maker writes of metal in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal(fields.Part):
    """Small metal parts cut from stock."""

    item: fields.Word
    metal: fields.Word
    section: fields.MetalSection | None = None
    mass_per_length: fields.MassPerLength | None = None
    length: fields.Length
    quantity: fields.Count = 1
    kerf: fields.Length | None = None
    stock_length: fields.Length | None = None
    charge: Literal["whole", "cut"] = "whole"
    supplied: fields.Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalDefaults(fields.Strict):
    """`[metal]`: bar, tube and flat stock."""

    kerf: fields.Length
    stock_length: fields.Length
