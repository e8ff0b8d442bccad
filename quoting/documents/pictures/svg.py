"""A figure as an SVG 1.1 file."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element, SubElement, tostring

from quoting.documents.pictures.marks import Box, Stroke

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure, Mark

SVG = "http://www.w3.org/2000/svg"
FACE = "DejaVu Sans, Verdana, sans-serif"


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
