"""What a maker writes of a woven seat. Canonical units: m."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from quoting.reading.fields import STRICT, Count, Length, Part, ShareRange, Supplied, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Cord(Part):
    """`[[cord]]`: a seat woven over a frame."""

    length: Length
    width: Length
    cord: Word
    quantity: Count = 1
    waste: ShareRange | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class CordDefaults:
    """`[cord]`: how thick a cord lies, how often it covers a seat, and what is lost of it."""

    __pydantic_config__: ClassVar = STRICT
    strand: Length
    layers: Count
    waste: ShareRange
    widest: Length
