"""Blocks of the maker's sheet: boxes to tick, blanks to write in, tables without air."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table, TableStyle

from quoting.documents.fonts import REGULAR
from quoting.documents.maker_page import LEADING, words
from quoting.documents.page import HAIRLINE, INK, QUIET, grid

if TYPE_CHECKING:
    from collections.abc import Sequence

TICK = 3 * mm
TICK_ROOM = TICK + 5  # a tick box and the air between it and the words
WIDEST = 180.0  # of a first column [pt]: the eye must find the figures beside it
BLANK = 24.0  # height of a blank [pt]: a label, and room for figures by pencil


class TickBox(Flowable):
    """A square of three millimetres, as high as the first line beside it."""

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its room [pt]."""
        return TICK, LEADING

    def draw(self) -> None:
        """Draw the square, its foot a little below the line."""
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, (LEADING - TICK) / 2, TICK, TICK)


def table(rows: Sequence[Sequence[Any]], widths: Sequence[float], *commands: Any) -> Flowable:
    """Rows on hairlines. A text becomes a paragraph; rows may break over columns and pages."""
    cells = [[words(cell) if isinstance(cell, str) else cell for cell in row] for row in rows]
    lines = [
        ("LINEABOVE", (0, 0), (-1, -1), 0.4, HAIRLINE),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.8),
        ("RIGHTPADDING", (0, 0), (-2, -1), 4),
    ]
    return grid(cells, widths, *lines, *commands, hAlign="LEFT")


def blanks(labels: Sequence[str], shares: Sequence[float], room: float) -> Flowable:
    """A row of ruled boxes to write in, each with its label at the top left; a label may have two lines."""
    widths = [room * share / sum(shares) for share in shares]
    cells = [words(label, textColor=QUIET) for label in labels]
    high = max(cell.wrap(wide - 2, BLANK)[1] for cell, wide in zip(cells, widths, strict=True))
    style: list[Any] = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("GRID", (0, 0), (-1, -1), 0.6, INK),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ]
    return Table([cells], widths, [max(BLANK, high + 2)], TableStyle(style), hAlign="LEFT")
