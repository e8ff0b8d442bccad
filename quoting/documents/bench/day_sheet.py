"""The day sheet: a page to fill in by pencil at the bench, with the pieces in hand and their stages above."""

from collections.abc import Sequence
from datetime import date
from io import BytesIO
from typing import NamedTuple

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from quoting.documents.bench.page import Paper, build, words
from quoting.documents.paper.page import INK, QUIET, dated, sheet
from quoting.documents.paper.text import BOLD, REGULAR, Ink, glyphs
from quoting.job.shop import House
from quoting.logbook.kept_elsewhere import DAY_SHEET

SHARES = (11, 12, 14, 8, 24, 17, 24)  # of the width, in the order of the headings
ROW = 8.5 * mm  # high enough for pencil
MOST_LISTED = 14
TITLE = "Day sheet"
HOW = (
    "A row for a piece and a stage (or a task). Used and spoiled: how much of what, such as 4.2 L laminating epoxy; several"
    " with a semicolon between. Hours of the shop itself: write shop for the piece, and what was done under stage."
)


class SheetPiece(NamedTuple):
    """A piece in hand, as the sheet names it."""

    number: str
    title: str
    stages: tuple[str, ...]


def day_sheet_bytes(house: House, pieces: Sequence[SheetPiece], day: date) -> bytes:
    """The sheet as a PDF of one page; the same shop and pieces give the same bytes on one day."""
    ink, plain = Ink(glyphs()), sheet(house.paper, house.accent)
    on, out = Paper(plain.size, plain.accent, ink("shop.name", house.name), columns=1), BytesIO()
    head: list[Flowable] = [words("", TITLE, 14), words(HOW), Spacer(1, 2)]
    for piece in pieces[:MOST_LISTED]:
        stages = ", ".join(ink("stage", stage) for stage in piece.stages)
        head.append(words(f"{ink('piece.title', piece.title)} ({stages})", piece.number))
    if len(pieces) > MOST_LISTED:
        head.append(words(f"and {len(pieces) - MOST_LISTED} more: quoting pieces lists them"))
    head.append(Spacer(1, 4))
    with dated(day):
        build(out, [], [*head, _grid(on, head)], on, 1, TITLE)
    return out.getvalue()


def _grid(on: Paper, head: Sequence[Flowable]) -> Table:
    """As many ruled rows as the page has room for, under the headings."""
    taken = sum(one.wrap(on.width, on.height)[1] + one.getSpaceBefore() + one.getSpaceAfter() for one in head)
    rows = max(8, int((on.height - taken - ROW) // ROW) - 1)
    widths = [on.width * share / sum(SHARES) for share in SHARES]
    style = TableStyle(
        [
            ("FONTNAME", (0, 0), (-1, 0), BOLD),
            ("FONTNAME", (0, 1), (-1, -1), REGULAR),
            ("FONTSIZE", (0, 0), (-1, -1), 9),
            ("TEXTCOLOR", (0, 0), (-1, 0), QUIET),
            ("GRID", (0, 0), (-1, -1), 0.6, INK),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ]
    )
    cells = [list(DAY_SHEET), *([[""] * len(DAY_SHEET)] * rows)]
    return Table(cells, widths, [ROW * 0.75, *([ROW] * rows)], style, hAlign="LEFT")
