"""Rows of bars on one scale, named at their left and told in figures at their right."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.documents.paper.fonts import BOLD, REGULAR, cut, width
from quoting.documents.pictures.marks import INK, LABEL, WIDTH, Box, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.documents.pictures.marks import Mark

BAR, GAP, AIR = 11.0, 5.0, 6.0
LEAST = 0.4  # of a bar that is hardly anything: it can still be seen [pt]
LABELS = 205.0  # the most that names take


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
        yield Words(on.left - AIR, y + BAR - 2.5, name, LABEL, INK, "end", row.bold)
        for span in row.spans:
            start, end = sorted((on.x(span.start), on.x(span.end)))
            high = BAR * span.thick
            yield Box(start, y + (BAR - high) / 2, max(end - start, LEAST), high, span.colour)
        yield Words(WIDTH, y + BAR - 2.5, row.said, LABEL, INK, "end", row.bold)


def height(rows: Sequence[Row]) -> float:
    """What the rows take [pt]."""
    return len(rows) * (BAR + GAP)


def line_at(value: float, on: Scale, top: float, foot: float) -> Stroke:
    """An upright line at a value, over the rows between two heights."""
    return Stroke(((on.x(value), top), (on.x(value), foot)), INK, 0.8)


def _face(row: Row) -> str:
    return BOLD if row.bold else REGULAR
