"""A figure as marks on a plane, and its writing as SVG. Lengths in points, y downwards from the top left corner."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple
from xml.etree.ElementTree import Element, SubElement, tostring

from quoting.values import round_step

if TYPE_CHECKING:
    from collections.abc import Sequence

SVG = "http://www.w3.org/2000/svg"
FACE = "DejaVu Sans, Verdana, sans-serif"


class Box(NamedTuple):
    """A filled rectangle; colours are "#rrggbb"."""

    x: float
    y: float
    width: float
    height: float
    colour: str


class Stroke(NamedTuple):
    """A line through points."""

    points: tuple[tuple[float, float], ...]
    colour: str
    width: float = 0.7


class Words(NamedTuple):
    """A line of text on its baseline. `anchor` is what of it stands at x: start, middle or end."""

    x: float
    y: float
    text: str
    size: float = 8.0
    colour: str = "#1c1c1c"
    anchor: str = "start"
    bold: bool = False


class Figure(NamedTuple):
    """A figure: what it shows in words, for those who cannot see it, and its marks in the order they are drawn."""

    width: float
    height: float
    title: str
    words: str
    marks: Sequence[Box | Stroke | Words]


def ticks(low: float, high: float, parts: int = 5) -> list[float]:
    """Round numbers from `low` to `high`, for an axis."""
    step = round_step(high - low, parts)
    first = math.ceil(low / step - 1e-9)
    return [i * step for i in range(first, math.floor(high / step + 1e-9) + 1)]


def padded(figure: Figure, by: float) -> Figure:
    """The figure with room all around it."""
    marks: list[Box | Stroke | Words] = []
    for mark in figure.marks:
        if isinstance(mark, Stroke):
            marks.append(mark._replace(points=tuple((x + by, y + by) for x, y in mark.points)))
        else:
            marks.append(mark._replace(x=mark.x + by, y=mark.y + by))
    return figure._replace(width=figure.width + 2 * by, height=figure.height + 2 * by, marks=marks)


def svg_bytes(figure: Figure) -> bytes:
    """The figure as an SVG 1.1 file; text stays text."""
    size = {"width": _n(figure.width), "height": _n(figure.height)}
    box = f"0 0 {_n(figure.width)} {_n(figure.height)}"
    root = Element("svg", {"xmlns": SVG, **size, "viewBox": box, "role": "img"})
    SubElement(root, "title").text = figure.title
    SubElement(root, "desc").text = figure.words
    SubElement(root, "rect", {**size, "fill": "#ffffff"})
    for mark in figure.marks:
        _add(root, mark)
    return bytes(tostring(root, encoding="utf-8", xml_declaration=True))


def _add(root: Element, mark: Box | Stroke | Words) -> None:
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
