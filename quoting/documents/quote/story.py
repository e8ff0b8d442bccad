"""The quote from top to bottom, as flowing blocks and tables that are free to break over pages."""

from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Any

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import KeepTogether, LongTable, Spacer
from reportlab.platypus.flowables import Flowable

from quoting.documents.paper.page import HAIRLINE, INK, QUIET, Sheet, grid
from quoting.documents.paper.tagged import Element, Picture
from quoting.documents.paper.tagged import cells as tags
from quoting.documents.paper.text import BOLD, REGULAR, width
from quoting.documents.quote.client_view import ClientView, Party, Passage
from quoting.documents.quote.price_view import PriceRow, Schedule

GUTTER = 8 * mm
TOTAL_SIZE = 15.0
SHORT = 400  # characters: a row of them is a few lines, and can be kept with its neighbours


def story(view: ClientView, on: Sheet, picture: bytes | None, logo: bytes | None) -> list[Flowable]:
    """Head, piece, price and payments; then lists, options, terms and notes; acceptance last."""
    return [
        *_letterhead(view, on, logo),
        *_piece(view, on, picture),
        KeepTogether([on.heading(view.price_heading), price_table(view.price, on)]),
        *schedule_table(view.payments, on),
        *schedule_table(view.options, on),
        *(block for passage in view.passages for block in _passage(passage, on)),
        *([_acceptance(view, on)] if view.accept else []),
    ]


def _image(data: bytes, most_wide: float, most_high: float, shows: str) -> Picture:
    """A picture in its own ratio, within a box [pt], and in words what it shows; without them decoration."""
    wide, high = ImageReader(BytesIO(data)).getSize()
    scale = min(most_wide / wide, most_high / high)
    made = Picture(BytesIO(data), wide * scale, high * scale, hAlign="RIGHT")
    made.element = Element("Figure", alt=shows) if shows else None
    return made


def _party(party: Party, on: Sheet, size: float) -> list[Flowable]:
    return [
        *([on.words(party.name, size, bold=True, spaceAfter=2)] if party.name else []),
        *(on.words(line) for line in party.lines),
    ]


def _letterhead(view: ClientView, on: Sheet, logo: bytes | None) -> Iterator[Flowable]:
    """Maker and logo, what the paper is, its number or that it is a draft, for whom and until when."""
    maker = _party(view.maker, on, 12)
    if logo:
        right = ("ALIGN", (1, 0), (1, 0), "RIGHT")
        image = _image(logo, 45 * mm, 20 * mm, view.maker.name)
        yield grid([[maker, image]], [on.width * 0.65, on.width * 0.35], right)
    else:
        yield from maker
    yield Spacer(0, 9 * mm * on.air)
    mark = min(width(view.mark, BOLD, 10) + 18, on.width / 2)
    heading = on.words(view.heading, 22, bold=True, leading=25, tag=Element("H1"))
    yield grid(
        [[heading, on.words(view.mark, 10, bold=True, textColor=on.accent)]],
        [on.width - mark, mark],
        ("BOX", (1, 0), (1, 0), 1, on.accent),
        ("LEFTPADDING", (1, 0), (1, 0), 8),
        ("RIGHTPADDING", (1, 0), (1, 0), 8),
        ("TOPPADDING", (1, 0), (1, 0), 6),
        ("BOTTOMPADDING", (1, 0), (1, 0), 5),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    )
    yield Spacer(0, 5 * mm * on.air)
    half = (on.width - GUTTER) / 2
    beside = bool(view.client.name or view.client.lines)
    facts = fact_table(view.facts, half if beside else on.width, on)
    if beside:
        client = [on.words(view.prepared_for, textColor=QUIET), *_party(view.client, on, 9)]
        facts = grid([[client, "", facts]], [half, GUTTER, half])
    yield facts


def _piece(view: ClientView, on: Sheet, picture: bytes | None) -> Iterator[Flowable]:
    """Title, picture, description, size."""
    image = _image(picture, on.width * 0.4, 52 * mm, view.title) if picture else None
    room = on.width - (on.width * 0.4 + GUTTER if image else 0)
    yield Spacer(0, 7 * mm * on.air)
    blocks: list[Flowable] = [on.words(view.title, 13, bold=True, spaceAfter=4, tag=Element("H2"))]
    if view.words:
        blocks.append(on.words(view.words, spaceAfter=5))
    if view.size:
        blocks.append(fact_table(view.size, room, on))
    if image:
        right = ("ALIGN", (2, 0), (2, 0), "RIGHT")
        yield grid([[blocks, "", image]], [room, GUTTER, on.width * 0.4], right)
    else:
        yield from blocks


def _passage(passage: Passage, on: Sheet) -> Iterator[Flowable]:
    """A heading with what follows it; a short passage whole, a long one without a lonely last line."""
    if passage.listed:
        blocks = list(_list_rows(passage.words, on))
    else:
        blocks = [on.words(words, spaceAfter=4) for words in passage.words]
    first = 2 if len(blocks) > 3 else len(blocks)
    yield KeepTogether([on.heading(passage.heading), *blocks[:first]])
    if len(blocks) > 3:
        yield from blocks[2:-2]
        yield KeepTogether(blocks[-2:])


def _list_rows(items: Sequence[str], on: Sheet) -> Iterator[Flowable]:
    """Items with a dash before them, two abreast where there are many and none is long."""
    half = (on.width - GUTTER) / 2
    abreast = 2 if len(items) > 3 and max(width(item, REGULAR, 9) for item in items) < 2 * half else 1
    room = half if abreast == 2 else on.width
    listed = Element("L")
    for i in range(0, len(items), abreast):
        row = []
        for item in items[i : i + abreast]:
            one = listed.add("LI")
            dash = on.words("–", textColor=on.accent, tag=one.add("Lbl"))
            row.append(grid([[dash, on.words(item, tag=one.add("LBody"))]], [10, room - 10]))
        cells = [row[0], "", row[1]] if len(row) == 2 else [row[0]]
        widths = [half, GUTTER, half] if len(row) == 2 else [room]
        yield grid([cells], widths, ("BOTTOMPADDING", (0, 0), (-1, -1), 2), hAlign="LEFT")


def _acceptance(view: ClientView, on: Sheet) -> Flowable:
    """Lines to be filled in by hand, on one page with their heading."""
    count, gap = len(view.accept_lines), GUTTER / 2
    room = (on.width - gap * (count - 1)) / count
    widths = [room, gap] * (count - 1) + [room]
    row = [cell for label in view.accept_lines for cell in (on.words(label, textColor=QUIET), "")][:-1]
    lines = [("LINEABOVE", (2 * i, 0), (2 * i, 0), 0.7, QUIET) for i in range(count)]
    table = grid([row], widths, ("TOPPADDING", (0, 0), (-1, -1), 3), *lines)
    words = [on.words(view.accept_words)] if view.accept_words else []
    return KeepTogether([on.heading(view.accept), *words, Spacer(0, 13 * mm), table])


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
    figures = 0.0
    tagged = tags([(row.label, row.amount) for row in rows])
    for i, row in enumerate(rows):
        size, strong = TOTAL_SIZE if row.kind == "total" else 9.0, row.kind in ("subtotal", "total")
        figures = max(figures, width(row.amount, BOLD if strong else REGULAR, size))
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
