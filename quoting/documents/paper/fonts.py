"""The faces of the quote: embedded whole in every PDF, so it looks alike everywhere."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from io import BytesIO

from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

from quoting.reading.starters import shipped

REGULAR, BOLD = "Quote", "Quote-Bold"
_FILES = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}


def face_bytes(name: str) -> bytes:
    """The font file of a face."""
    return shipped("templates").joinpath("fonts", _FILES[name]).read_bytes()


@cache
def glyphs() -> frozenset[str]:
    """Register both faces, and return the characters that each of them can draw.

    A character that a face lacks is drawn as nothing at all, without a warning: ask first.
    """
    drawn = []
    for name in _FILES:
        face = TTFont(name, BytesIO(face_bytes(name)))
        registerFont(face)
        drawn.append({chr(code) for code in face.face.charToGlyph})
    registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset.intersection(*map(frozenset, drawn))


def width(text: str, font: str, size: float) -> float:
    """Width of a line of text [pt]."""
    return float(stringWidth(text, font, size))


def cut(text: str, font: str, size: float, room: float) -> str:
    """The text on one line, shortened with an ellipsis where it is wider than `room` [pt]."""
    line = " ".join(text.split())
    if width(line, font, size) <= room:
        return line
    most = bisect_right(range(len(line)), room, key=lambda kept: width(line[:kept] + "…", font, size)) - 1
    return line[: max(most, 0)].rstrip() + "…"
