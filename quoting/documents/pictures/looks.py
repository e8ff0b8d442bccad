"""How pictures look: few colours, which stay apart for colour-blind readers and in grey print, and sizes of type.

A colour never says anything alone: what it means stands in words beside it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.fonts import BOLD, cut
from quoting.documents.page import readable
from quoting.documents.pictures.marks import Words

if TYPE_CHECKING:
    from quoting.job.shop import House

INK, QUIET, HAIR, PAPER = "#1c1c1c", "#595959", "#d5d5d5", "#ffffff"
PLANNED, SOLID, AGAINST = "#c9d3dc", "#1f4e79", "#d98324"
"""What was planned or is only waited for; what is, or helps; what goes against the maker."""

WIDTH, EDGE = 480.0, 8.0
"""Of a picture without its rim, and of the rim around it [pt]."""

TITLE, LABEL, SMALL = 9.5, 7.5, 7.0
"""Sizes of type [pt]."""

FIRST = 24.0
"""Where what is under a title begins [pt]."""


def accent_of(house: House) -> str:
    """The colour of the shop, for titles: dark enough to be read on white."""
    return str(readable(house.accent).hexval()).replace("0x", "#")


def title(text: str, accent: str, y: float = 10.0) -> Words:
    """A title over the whole picture, or over a part of it that begins at a height."""
    return Words(0.0, y, cut(text, BOLD, TITLE, WIDTH), TITLE, accent, bold=True)
