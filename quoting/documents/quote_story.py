"""The quote from top to bottom, as flowing blocks."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Image, KeepTogether, LongTable, Spacer, TableStyle

from quoting.documents.fonts import BOLD, REGULAR, width
from quoting.documents.page import HAIRLINE, QUIET

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus.flowables import Flowable

    from quoting.documents.client_view import ClientView, Party, Passage
    from quoting.documents.page import Sheet
    from quoting.documents.price_view import PriceRow, Schedule

GUTTER = 8 * mm
TOTAL_SIZE = 15.0


def story(view: ClientView, on: Sheet, picture: bytes | None, logo: bytes | None) -> list[Flowable]:
    """Head, piece, price and payments; then lists, options, terms and notes; acceptance last."""
    return [
        *_letterhead(view, on, logo),
        *_piece(view, on, picture),
        KeepTogether([on.heading(view.price_heading), _price(view.price, on)]),
        *_schedule(view.payments, on),
        *_schedule(view.options, on),
        *(block for passage in view.passages for block in _passage(passage, on)),
        _acceptance(view, on),
    ]


def _grid(rows: Sequence[Sequence[Any]], widths: Sequence[float], *commands: Any, **more: Any) -> LongTable:
    """A table without padding at its sides, whose rows may break over pages."""
    base = [
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
    return LongTable(rows, colWidths=widths, style=TableStyle([*base, *commands]), splitInRow=1, **more)


def _image(data: bytes, most_wide: float, most_high: float) -> Image:
    """A picture in its own ratio, within a box [pt]."""
    wide, high = ImageReader(BytesIO(data)).getSize()
    scale = min(most_wide / wide, most_high / high)
    return Image(BytesIO(data), wide * scale, high * scale, hAlign="RIGHT")


def _party(party: Party, on: Sheet, size: float) -> list[Flowable]:
    return [
        *([on.words(party.name, size, bold=True, spaceAfter=2)] if party.name else []),
        *(on.words(line) for line in party.lines),
    ]


def _letterhead(view: ClientView, on: Sheet, logo: bytes | None) -> Iterator[Flowable]:
    """Maker and logo, what the paper is and that it is a draft, for whom and until when."""
    maker = _party(view.maker, on, 12)
    if logo:
        yield _grid([[maker, _image(logo, 45 * mm, 20 * mm)]], [on.width * 0.65, on.width * 0.35])
    else:
        yield from maker
    yield Spacer(0, 9 * mm)
    mark = min(width(view.draft, BOLD, 10) + 18, on.width / 2)
    yield _grid(
        [
            [
                on.words(view.heading, 22, bold=True, leading=25),
                on.words(view.draft, 10, bold=True, textColor=on.accent),
            ]
        ],
        [on.width - mark, mark],
        ("BOX", (1, 0), (1, 0), 1, on.accent),
        ("LEFTPADDING", (1, 0), (1, 0), 8),
        ("RIGHTPADDING", (1, 0), (1, 0), 8),
        ("TOPPADDING", (1, 0), (1, 0), 5),
        ("BOTTOMPADDING", (1, 0), (1, 0), 5),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    )
    yield Spacer(0, 5 * mm)
    half = (on.width - GUTTER) / 2
    named = bool(view.client.name or view.client.lines)
    client = [on.words(view.prepared_for, textColor=QUIET), *_party(view.client, on, 9)] if named else []
    yield _grid([[client, "", _facts(view.facts, half, on)]], [half, GUTTER, half])


def _facts(facts: Sequence[tuple[str, str]], room: float, on: Sheet) -> LongTable:
    """Labels and what they say, side by side."""
    left = min(max(width(label, REGULAR, 9) for label, _ in facts) + 12, room * 0.45)
    rows = [[on.words(label, textColor=QUIET), on.words(said)] for label, said in facts]
    return _grid(rows, [left, room - left], ("BOTTOMPADDING", (0, 0), (-1, -1), 2), hAlign="LEFT")


def _piece(view: ClientView, on: Sheet, picture: bytes | None) -> Iterator[Flowable]:
    """Title, picture, description, size."""
    image = _image(picture, on.width * 0.4, 52 * mm) if picture else None
    room = on.width - (on.width * 0.4 + GUTTER if image else 0)
    yield Spacer(0, 7 * mm)
    blocks: list[Flowable] = [on.words(view.title, 13, bold=True, spaceAfter=4)]
    if view.words:
        blocks.append(on.words(view.words, spaceAfter=5))
    if view.size:
        blocks.append(_facts(view.size, room, on))
    if image:
        yield _grid([[blocks, "", image]], [room, GUTTER, on.width * 0.4])
    else:
        yield from blocks


def _price(rows: Sequence[PriceRow], on: Sheet) -> LongTable:
    """Rows on hairlines; the total large, under a line in the accent."""
    cells, commands = [], []
    sizes = [TOTAL_SIZE if row.kind == "total" else 9.0 for row in rows]
    bold = [row.kind in ("subtotal", "total") for row in rows]
    figures = max(
        width(row.amount, BOLD if strong else REGULAR, size)
        for row, size, strong in zip(rows, sizes, bold, strict=True)
    )
    for i, (row, size, strong) in enumerate(zip(rows, sizes, bold, strict=True)):
        colour = {"total": {"textColor": on.accent}, "within": {"textColor": QUIET}}.get(row.kind, {})
        label = on.words(row.label, size, bold=strong, **colour)
        cells.append([label, on.words(row.amount, size, bold=strong, right=True, **colour)])
        if row.kind == "total":
            commands.append(("LINEABOVE", (0, i), (-1, i), 1.2, on.accent))
            commands.append(("TOPPADDING", (0, i), (-1, i), 6))
        elif row.kind != "within":
            commands.append(("LINEABOVE", (0, i), (-1, i), 0.5, HAIRLINE))
    padding = [("TOPPADDING", (0, 0), (-1, -1), 3), ("BOTTOMPADDING", (0, 0), (-1, -1), 4)]
    return _grid(cells, [on.width - figures - 4, figures + 4], *padding, *commands)


def _schedule(schedule: Schedule, on: Sheet) -> Iterator[Flowable]:
    """Two columns of words, then figures set right, as wide as they need."""
    if not schedule.rows:
        return
    every = [schedule.columns, *schedule.rows]
    figures = [max(width(row[i], BOLD, 9) for row in every) + 12 for i in range(2, len(schedule.columns))]
    room = on.width - sum(figures)
    first = min(max(width(row[0], BOLD, 9) for row in every) + 12, room * 0.5)
    cells = []
    for i, row in enumerate(every):
        style: dict[str, Any] = {"textColor": QUIET} if i == 0 else {}
        style["bold"] = schedule.summed and i == len(every) - 1
        cells.append([on.words(cell, right=column > 1, **style) for column, cell in enumerate(row)])
    table = _grid(
        cells,
        [first, room - first, *figures],
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("LEFTPADDING", (1, 0), (-1, -1), 6),
        ("LINEABOVE", (0, 1), (-1, -1), 0.5, HAIRLINE),
        repeatRows=1,
    )
    yield KeepTogether([on.heading(schedule.heading), table])


def _passage(passage: Passage, on: Sheet) -> Iterator[Flowable]:
    """A heading that never stands alone, and a list whose last item never does."""
    if passage.listed:
        blocks = list(_list_rows(passage.words, on))
    else:
        blocks = [on.words(words, spaceAfter=4) for words in passage.words]
    yield KeepTogether([on.heading(passage.heading), *blocks[:2]])
    yield from blocks[2:-2]
    rest = blocks[max(2, len(blocks) - 2) :]
    if rest:
        yield KeepTogether(rest)


def _list_rows(items: Sequence[str], on: Sheet) -> Iterator[LongTable]:
    """Items with a dash before them, two abreast where there are many and none is long."""
    half = (on.width - GUTTER) / 2
    abreast = 2 if len(items) > 3 and max(width(item, REGULAR, 9) for item in items) < 2 * half else 1
    room = half if abreast == 2 else on.width
    for i in range(0, len(items), abreast):
        row = [
            _grid([[on.words("–", textColor=on.accent), on.words(item)]], [10, room - 10])
            for item in items[i : i + abreast]
        ]
        cells = [row[0], "", row[1]] if len(row) == 2 else [row[0]]
        widths = [half, GUTTER, half] if len(row) == 2 else [room]
        yield _grid([cells], widths, ("BOTTOMPADDING", (0, 0), (-1, -1), 2), hAlign="LEFT")


def _acceptance(view: ClientView, on: Sheet) -> Flowable:
    """Lines to be filled in by hand, on one page with their heading."""
    cells = [on.words(label, 8, textColor=QUIET) for label in view.accept_lines]
    count = len(cells)
    gap = GUTTER / 2
    room = (on.width - gap * (count - 1)) / count
    widths = [size for i in range(count) for size in ((gap, room) if i else (room,))]
    row = [cell for i, one in enumerate(cells) for cell in (("", one) if i else (one,))]
    lines = [("LINEABOVE", (2 * i, 0), (2 * i, 0), 0.7, QUIET) for i in range(count)]
    table = _grid([row], widths, ("TOPPADDING", (0, 0), (-1, -1), 3), *lines)
    return KeepTogether([on.heading(view.accept), Spacer(0, 13 * mm), table])
