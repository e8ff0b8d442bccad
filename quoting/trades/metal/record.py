"""What a maker writes of metal in a job and in the shop file. Canonical units: m, m2, m3, kg, h."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading.fields import (
    Count,
    Length,
    MassPerLength,
    MetalSection,
    Part,
    Strict,
    Supplied,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal(Part):
    """Small metal parts cut from stock."""

    item: Word
    metal: Word
    section: MetalSection | None = None
    mass_per_length: MassPerLength | None = None
    length: Length
    quantity: Count = 1
    kerf: Length | None = None
    stock_length: Length | None = None
    charge: Literal["whole", "cut"] = "whole"
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalDefaults(Strict):
    """`[metal]`: bar, tube and flat stock."""

    kerf: Length
    stock_length: Length
