"""A figure as an SVG or PNG file, as a drawing in a PDF, and pictures on pages, marked internal."""

import math
from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import Element, SubElement, tostring

from PIL import Image, ImageDraw, ImageFont
from reportlab.graphics.shapes import Drawing, PolyLine, Rect, String
from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable, Spacer

from quoting.documents.bench.page import Paper, built
from quoting.documents.paper.text import BOLD, REGULAR, Ink, face_bytes, glyphs
from quoting.documents.pictures.marks import Box, Figure, Mark, Stroke, Words
from quoting.pricing.record import Priced

SVG = "http://www.w3.org/2000/svg"
FACE = "DejaVu Sans, Verdana, sans-serif"
DOTS = 3  # pixels a point: 216 to the inch
ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}
BETWEEN = 14.0  # pictures [pt]


def svg_bytes(figure: Figure) -> bytes:
    """The figure as an SVG 1.1 file; text stays text, and what it shows is told in words."""
    size = {"width": _n(figure.width), "height": _n(figure.height)}
    box = f"0 0 {_n(figure.width)} {_n(figure.height)}"
    root = Element("svg", {"xmlns": SVG, **size, "viewBox": box, "role": "img"})
    SubElement(root, "title").text = figure.title
    SubElement(root, "desc").text = figure.words
    SubElement(root, "rect", {**size, "fill": "#ffffff"})
    for mark in figure.marks:
        _add(root, mark)
    return bytes(tostring(root, encoding="utf-8", xml_declaration=True))


def _add(root: Element, mark: Mark) -> None:
    if isinstance(mark, Box):
        sides = {name: _n(getattr(mark, name)) for name in ("x", "y", "width", "height")}
        SubElement(root, "rect", {**sides, "fill": mark.colour})
    elif isinstance(mark, Stroke):
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in mark.points)
        drawn = {"fill": "none", "stroke": mark.colour, "stroke-width": _n(mark.width)}
        SubElement(root, "polyline", {"points": points, **drawn})
    else:
        said = {"x": _n(mark.x), "y": _n(mark.y), "font-family": FACE, "font-size": _n(mark.size)}
        said |= {"fill": mark.colour, "text-anchor": mark.anchor}
        SubElement(root, "text", said | ({"font-weight": "bold"} if mark.bold else {})).text = mark.text


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


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
    out = BytesIO()
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def _face(words: Words) -> ImageFont.FreeTypeFont:
    data = BytesIO(face_bytes(BOLD if words.bold else REGULAR))
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
    paint: dict[str, Any] = {"fillColor": HexColor(mark.colour), "strokeColor": None}
    if isinstance(mark, Box):
        return Rect(mark.x, height - mark.y - mark.height, mark.width, mark.height, **paint)
    if isinstance(mark, Stroke):
        points = [one for x, y in mark.points for one in (x, height - y)]
        return PolyLine(points, strokeColor=HexColor(mark.colour), strokeWidth=mark.width)
    paint = {
        "fillColor": HexColor(mark.colour),
        "textAnchor": mark.anchor,
        "fontName": BOLD if mark.bold else REGULAR,
        "fontSize": mark.size,
    }
    return String(mark.x, height - mark.y, mark.text, **paint)


def pages_bytes(figures: Sequence[Figure], priced: Priced) -> bytes:
    """The pages as a PDF; the same pictures give the same bytes."""

    def story(on: Paper) -> Iterator[Flowable]:
        for figure in figures:
            yield drawing(figure, on.width, on.height)
            yield Spacer(1, BETWEEN)

    title = Ink(glyphs())("title", f"Pictures of {priced.job.piece.title}")
    return built(title, story, priced.shop.shop, priced.day)
