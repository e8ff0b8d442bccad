"""Tables of the quote: figures to the right, hairlines between rows, free to break over pages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.platypus import KeepTogether, LongTable

from quoting.documents.paper.fonts import BOLD, REGULAR, width
from quoting.documents.paper.page import HAIRLINE, INK, QUIET, grid
from quoting.documents.paper.tagged import cells as tags

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus.flowables import Flowable

    from quoting.documents.paper.page import Sheet
    from quoting.documents.quote.price_view import PriceRow, Schedule

TOTAL_SIZE = 15.0
SHORT = 400  # characters: a row of them is a few lines, and can be kept with its neighbours


def fact_table(facts: Sequence[tuple[str, str]], room: float, on: Sheet) -> LongTable:
    """Labels and what they say, side by side."""
    left = min(max(width(label, REGULAR, 9) for label, _ in facts) + 12, room * 0.45)
    rows = [
        [on.words(label, textColor=QUIET, tag=head), on.words(said, tag=cell)]
        for (label, said), (head, cell) in zip(facts, tags(facts), strict=True)
    ]
    return grid(rows, [left, room - left], ("BOTTOMPADDING", (0, 0), (-1, -1), 2), hAlign="LEFT")


def price_table(rows: Sequence[PriceRow], on: Sheet) -> LongTable:
    """Rows on hairlines; the total large, under a line in the accent."""
    cells: list[list[Flowable]] = []
    commands: list[tuple[Any, ...]] = []
    colours = {"total": on.accent, "within": QUIET}
    sizes = [TOTAL_SIZE if row.kind == "total" else 9.0 for row in rows]
    bold = [row.kind in ("subtotal", "total") for row in rows]
    figures = max(
        width(row.amount, BOLD if strong else REGULAR, size)
        for row, size, strong in zip(rows, sizes, bold, strict=True)
    )
    tagged = tags([(row.label, row.amount) for row in rows])
    for i, (row, size, strong) in enumerate(zip(rows, sizes, bold, strict=True)):
        style: dict[str, Any] = {"bold": strong, "textColor": colours.get(row.kind, INK)}
        label = on.words(row.label, size, tag=tagged[i][0], **style)
        cells.append([label, on.words(row.amount, size, right=True, tag=tagged[i][1], **style)])
        if row.kind == "total":
            commands.append(("LINEABOVE", (0, i), (-1, i), 1.2, on.accent))
            commands.append(("TOPPADDING", (0, i), (-1, i), 6))
        elif row.kind != "within":
            commands.append(("LINEABOVE", (0, i), (-1, i), 0.5, HAIRLINE))
    padding = [("TOPPADDING", (0, 0), (-1, -1), 3), ("BOTTOMPADDING", (0, 0), (-1, -1), 4)]
    return grid(cells, [on.width - figures - 4, figures + 4], *padding, *commands)


def schedule_table(schedule: Schedule, on: Sheet) -> Iterator[Flowable]:
    """Two columns of words, then figures set right, as wide as they need; a long word above them is broken.
    A table too long for what is left of a page breaks after its first row at the earliest, and before its last two.
    """
    if not schedule.rows or not schedule.heading:
        return
    every = [schedule.columns, *schedule.rows]
    figures = [
        max(min(width(head, BOLD, 9), on.width / 6), *(width(row[i], BOLD, 9) for row in schedule.rows)) + 12
        for i, head in enumerate(schedule.columns[2:], start=2)
    ]
    room = on.width - sum(figures)
    first = min(max(width(row[0], BOLD, 9) for row in every) + 12, room * 0.5)
    cells: list[list[Any]] = [[on.heading(schedule.heading), *[""] * (len(schedule.columns) - 1)]]
    tagged = tags(every, titled=True)
    for i, row in enumerate(every):
        style: dict[str, Any] = {"textColor": QUIET} if i == 0 else {}
        style["bold"] = schedule.summed and i == len(every) - 1
        cells.append([on.words(cell, right=j > 1, tag=tagged[i][j], **style) for j, cell in enumerate(row)])
    short = max(len(cell) for row in every for cell in row) < SHORT
    table = grid(
        cells,
        [first, room - first, *figures],
        ("SPAN", (0, 0), (-1, 0)),
        ("TOPPADDING", (0, 1), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("LEFTPADDING", (1, 1), (-1, -1), 6),
        ("LINEABOVE", (0, 2), (-1, -1), 0.5, HAIRLINE),
        *([("NOSPLIT", (0, 0), (0, 2)), ("NOSPLIT", (0, -2), (0, -1))] if short else []),
        repeatRows=(1,),
        spaceBefore=15 * on.air,
    )
    yield KeepTogether([table]) if schedule.summed else table
