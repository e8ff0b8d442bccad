"""A figure as a PNG file, and as a drawing that stands in a PDF."""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any

from PIL import Image, ImageDraw, ImageFont
from reportlab.graphics.shapes import Drawing, PolyLine, Rect, String
from reportlab.lib.colors import HexColor

from quoting.documents.fonts import BOLD, REGULAR, face_bytes, glyphs
from quoting.documents.pictures.marks import Box, Stroke
from quoting.documents.pictures.svg import svg_bytes

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure, Mark, Words

DOTS = 3  # pixels a point: 216 to the inch
ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}


def files_of(name: str, figure: Figure) -> dict[str, bytes]:
    """A figure as the files of one name: SVG, which every browser shows, and PNG."""
    return {f"{name}.svg": svg_bytes(figure), f"{name}.png": png_bytes(figure)}


def png_bytes(figure: Figure) -> bytes:
    """The figure as a PNG file, three pixels a point; the same figure gives the same bytes."""
    image = Image.new("RGB", (round(figure.width * DOTS), round(figure.height * DOTS)), "#ffffff")
    draw = ImageDraw.Draw(image)
    faces: dict[tuple[bool, float], ImageFont.FreeTypeFont] = {}
    for mark in figure.marks:
        if isinstance(mark, Box):
            corners = (mark.x, mark.y, mark.x + mark.width, mark.y + mark.height)
            draw.rectangle([one * DOTS for one in corners], fill=mark.colour)
        elif isinstance(mark, Stroke):
            points = [(x * DOTS, y * DOTS) for x, y in mark.points]
            draw.line(points, fill=mark.colour, width=max(round(mark.width * DOTS), 1))
        else:
            face = faces.setdefault((mark.bold, mark.size), _face(mark))
            at = (mark.x * DOTS, mark.y * DOTS)
            draw.text(at, mark.text, fill=mark.colour, font=face, anchor=ANCHORS[mark.anchor])
    out = io.BytesIO()
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def _face(words: Words) -> ImageFont.FreeTypeFont:
    data = io.BytesIO(face_bytes(BOLD if words.bold else REGULAR))
    return ImageFont.truetype(data, words.size * DOTS, layout_engine=ImageFont.Layout.BASIC)


def drawing(figure: Figure, room: float, high: float = math.inf) -> Drawing:
    """The figure as a flowable of a PDF page no wider than `room` and no higher than `high` [pt], in vectors, its text
    in the faces of the quote.
    """
    glyphs()
    scale = min(room / figure.width, high / figure.height, 1.0)
    made = Drawing(figure.width * scale, figure.height * scale)
    made.scale(scale, scale)
    for mark in figure.marks:
        made.add(_shape(mark, figure.height))
    return made


def _shape(mark: Mark, height: float) -> Any:
    """A mark as reportlab draws it, from the bottom up."""
    paint: dict[str, Any]
    colour = HexColor(mark.colour)
    if isinstance(mark, Box):
        paint = {"fillColor": colour, "strokeColor": None}
        return Rect(mark.x, height - mark.y - mark.height, mark.width, mark.height, **paint)
    if isinstance(mark, Stroke):
        points = [one for x, y in mark.points for one in (x, height - y)]
        return PolyLine(points, strokeColor=colour, strokeWidth=mark.width)
    paint = {
        "textAnchor": mark.anchor,
        "fontName": BOLD if mark.bold else REGULAR,
        "fontSize": mark.size,
        "fillColor": colour,
    }
    return String(mark.x, height - mark.y, mark.text, **paint)
