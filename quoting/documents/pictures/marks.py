"""A figure as marks on a plane, in few colours that stay apart for colour-blind readers and in grey print; rows of bars."""

import math
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from quoting.documents.paper.page import readable
from quoting.documents.paper.text import BOLD, REGULAR, cut, width
from quoting.job.shop import House
from quoting.values import round_step

INK, QUIET, HAIR, PAPER = "#1c1c1c", "#595959", "#d5d5d5", "#ffffff"
PLANNED, SOLID, AGAINST = "#c9d3dc", "#1f4e79", "#d98324"
"""What was planned or is only waited for; what is, or helps; what goes against the maker."""

WIDTH, EDGE = 480.0, 8.0
"""Of a picture without its rim, and of the rim around it [pt]."""

TITLE, LABEL, SMALL = 9.5, 7.5, 7.0
"""Sizes of type [pt]."""

FIRST = 24.0
"""Where what is under a title begins [pt]."""

HATCH = 6.0  # between lines of a hatch [pt]
BAR, GAP, AIR = 11.0, 5.0, 6.0
LEAST = 0.4  # of a bar that is hardly anything: it can still be seen [pt]
LABELS = 205.0  # the most that names take


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


Mark = Box | Stroke | Words


class Figure(NamedTuple):
    """A figure: what it shows in words, for those who cannot see it, and its marks in the order they are drawn."""

    width: float
    height: float
    title: str
    words: str
    marks: Sequence[Mark]


def accent_of(house: House) -> str:
    """The colour of the shop, for titles: dark enough to be read on white."""
    return str(readable(house.accent).hexval()).replace("0x", "#")


def title(text: str, accent: str, y: float = 10.0) -> Words:
    """A title over the whole picture, or over a part of it that begins at a height."""
    return Words(0.0, y, cut(text, BOLD, TITLE, WIDTH), TITLE, accent, bold=True)


def label(
    x: float, y: float, text: str, colour: str = QUIET, anchor: str = "start", bold: bool = False
) -> Words:
    """A line of text beside what is drawn."""
    return Words(x, y, text, LABEL, colour, anchor, bold)


def framed(said: str, words: str, marks: Iterable[Mark], foot: float, house: House, name: str = "") -> Figure:
    """Marks down to a foot, under their title and with a rim around them; `name` where it is called otherwise."""
    headed = [title(said, accent_of(house)), *marks]
    return rimmed(Figure(WIDTH, foot, name or said, words, headed))


def ticks(low: float, high: float, parts: int = 5) -> list[float]:
    """Round numbers from `low` to `high`, for an axis."""
    step = round_step(high - low, parts)
    first = math.ceil(low / step - 1e-9)
    return [i * step for i in range(first, math.floor(high / step + 1e-9) + 1)]


def rimmed(figure: Figure) -> Figure:
    """The figure with its rim."""
    marks: list[Mark] = []
    for mark in figure.marks:
        if isinstance(mark, Stroke):
            marks.append(mark._replace(points=tuple((x + EDGE, y + EDGE) for x, y in mark.points)))
        else:
            marks.append(mark._replace(x=mark.x + EDGE, y=mark.y + EDGE))
    return figure._replace(width=figure.width + 2 * EDGE, height=figure.height + 2 * EDGE, marks=marks)


def outlined(box: Box, colour: str, width: float = 0.6) -> Stroke:
    """The edge of a box."""
    right, below = box.x + box.width, box.y + box.height
    corners = ((box.x, box.y), (right, box.y), (right, below), (box.x, below), (box.x, box.y))
    return Stroke(corners, colour, width)


def hatched(box: Box, colour: str) -> Iterator[Stroke]:
    """Lines from lower left to upper right, a hatch apart, within a box."""
    for i in range(1, int((box.width + box.height) / HATCH) + 1):
        along = i * HATCH
        start = (box.x + min(along, box.width), box.y + max(along - box.width, 0.0))
        end = (box.x + max(along - box.height, 0.0), box.y + min(along, box.height))
        yield Stroke((start, end), colour, 0.4)


def apart(wanted: Sequence[float], least: float, top: float) -> list[float]:
    """Heights as near to those wanted as they can be, in their order from the top, a least distance apart."""
    found: list[float] = []
    for height in wanted:
        found.append(max(height, found[-1] + least if found else top))
    return found


class Span(NamedTuple):
    """A bar from one value to another; `thick` is its share of the height of its row."""

    start: float
    end: float
    colour: str
    thick: float = 1.0


class Row(NamedTuple):
    """A name, its bars in the order they are drawn, and what is said of them."""

    name: str
    spans: tuple[Span, ...]
    said: str = ""
    bold: bool = False


class Scale(NamedTuple):
    """Values from `low` on over the room between `left` and `right` [pt]."""

    low: float
    high: float
    left: float
    right: float

    def x(self, value: float) -> float:
        """Where a value stands [pt]."""
        return self.left + (self.right - self.left) * (value - self.low) / ((self.high - self.low) or 1.0)


def bar(
    name: str, start: Decimal | float, end: Decimal | float, colour: str, said: str, bold: bool = False
) -> Row:
    """A row of one bar."""
    return Row(name, (Span(float(start), float(end), colour),), said, bold)


def scale_of(rows: Sequence[Row], *also: float) -> Scale:
    """A scale that holds every bar and the values named, between the names and the figures of the rows."""
    values = [end for row in rows for span in row.spans for end in (span.start, span.end)] + list(also)
    names = max((width(row.name, _face(row), LABEL) for row in rows), default=0.0)
    said = max((width(row.said, _face(row), LABEL) for row in rows), default=0.0)
    left = min(names, LABELS) + AIR
    return Scale(min(values, default=0.0), max(values, default=1.0), left, WIDTH - said - AIR)


def bars(rows: Sequence[Row], on: Scale, top: float) -> Iterator[Mark]:
    """The rows from a height on."""
    for i, row in enumerate(rows):
        y, face = top + i * (BAR + GAP), _face(row)
        name = cut(row.name, face, LABEL, on.left - AIR)
        yield label(on.left - AIR, y + BAR - 2.5, name, INK, "end", row.bold)
        for span in row.spans:
            start, end = sorted((on.x(span.start), on.x(span.end)))
            high = BAR * span.thick
            yield Box(start, y + (BAR - high) / 2, max(end - start, LEAST), high, span.colour)
        yield label(WIDTH, y + BAR - 2.5, row.said, INK, "end", row.bold)


def height(rows: Sequence[Row]) -> float:
    """What the rows take [pt]."""
    return len(rows) * (BAR + GAP)


def line_at(value: float, on: Scale, top: float, foot: float) -> Stroke:
    """An upright line at a value, over the rows between two heights."""
    return Stroke(((on.x(value), top), (on.x(value), foot)), INK, 0.8)


def of_rows(said: str, words: str, rows: Sequence[Row], house: House, name: str = "") -> Figure:
    """Rows under their title, from a line at nothing."""
    on, foot = scale_of(rows, 0.0), FIRST + height(rows)
    drawn = [*bars(rows, on, FIRST), line_at(0.0, on, FIRST - 3, foot)]
    return framed(said, words, drawn, foot + 4, house, name)


def _face(row: Row) -> str:
    return BOLD if row.bold else REGULAR
