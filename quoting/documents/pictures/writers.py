"""Pictures in and out: a maker's own made fit for print; a figure as an SVG or PNG file, as a drawing in a PDF, on pages."""

import math
import warnings
from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import Element, SubElement, tostring

from PIL import Image, ImageDraw, ImageFont, ImageOps
from PIL.ImageFile import ImageFile
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from reportlab.graphics.shapes import Drawing, PolyLine, Rect, String
from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable, Spacer

from quoting.documents.bench.page import Paper, built
from quoting.documents.paper.text import BOLD, REGULAR, Ink, face_bytes, glyphs
from quoting.documents.pictures.marks import Box, Figure, Mark, Stroke, Words
from quoting.errors import Reading
from quoting.pricing.record import Priced

LARGEST_PX = 1400
LARGEST_MEGAPIXELS = 50
STARTS = {b"\x89PNG\r\n\x1a\n": PngImageFile, b"\xff\xd8\xff": JpegImageFile}
SAVE_ANEW = "write the name of a picture that a picture program has saved anew as PNG or JPEG"

SVG = "http://www.w3.org/2000/svg"
FACE = "DejaVu Sans, Verdana, sans-serif"
DOTS = 3  # pixels a point: 216 to the inch
ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}
BETWEEN = 14.0  # pictures [pt]


def printable(data: bytes) -> bytes:
    """The picture as a JPEG or PNG of our own, without what a camera adds.

    Reading where it is no picture, is damaged, or has more pixels than a page can use. The pixels are
    counted in its head, before any is decoded: a file of a few kilobytes can hold billions.
    """
    kind = next((kind for start, kind in STARTS.items() if data.startswith(start)), None)
    if kind is None:
        found = "an empty file" if not data else "a file that is neither a PNG nor a JPEG inside"
        raise Reading(f"found {found}", SAVE_ANEW)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a camera's faulty notes beside a sound picture
            with kind(BytesIO(data)) as opened:
                wide_px, high_px = opened.size
                megapixels = wide_px * high_px / 1e6
                if megapixels > LARGEST_MEGAPIXELS:  # it would fill the memory
                    found = f"found a picture of {wide_px} x {high_px} pixels, {megapixels:.1f} megapixels"
                    raise Reading(found, f"write the name of one of at most {LARGEST_MEGAPIXELS} megapixels")
                paper = _on_paper(opened)
    except Reading:
        raise
    except Exception:  # a decoder meets damaged bytes in ways of its own: any of them means the same
        raise Reading("found a picture that breaks off or is damaged", SAVE_ANEW) from None
    out = BytesIO()
    if kind is JpegImageFile:
        paper.save(out, "JPEG", quality=88)
    else:
        paper.save(out, "PNG")
    return out.getvalue()


def _on_paper(opened: ImageFile) -> Image.Image:
    """The first frame, turned upright, its transparent parts white."""
    opened.draft(None, (2 * LARGEST_PX, 2 * LARGEST_PX))  # a large photograph is decoded no larger than that
    image = ImageOps.exif_transpose(opened)
    if image.mode.startswith("I"):  # grey of 16 bits, which a plain conversion cuts off at white
        image = image.convert("I").point(lambda grey: grey * (1 / 256)).convert("L")
        image.info.pop("transparency", None)  # it counts in 16 bits
    image = image.convert("RGBA")
    image.thumbnail((LARGEST_PX, LARGEST_PX))
    paper = Image.new("RGB", image.size, "white")
    paper.paste(image, mask=image.getchannel("A"))
    return paper


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
