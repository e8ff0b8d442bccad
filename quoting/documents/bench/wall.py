"""Papers that hang in the shop: cut plans with their cuts in order, and the day sheet to fill in by pencil."""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import zip_longest
from typing import Any, NamedTuple

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak, Spacer, Table

from quoting.cut_plans import words as told
from quoting.cut_plans.plan import unplanned
from quoting.documents.bench.page import Paper, in_columns, taken, words
from quoting.documents.paper.page import INK, QUIET, Running, Sheet, on_sheets, sheet
from quoting.documents.paper.text import BOLD, REGULAR, Ink, glyphs
from quoting.documents.pictures.cut import key_words, stock_figure
from quoting.documents.pictures.writers import drawing
from quoting.job.brief import Brief
from quoting.job.shop import House
from quoting.logbook.day_sheet import DAY_SHEET
from quoting.takeoff.stock import CutPlan, SawnStock

HIGHEST = 250.0
"""Of a drawing [pt]: a sheet and its cuts share a page."""

SHARES = (11, 12, 14, 8, 24, 17, 24)  # of the width, in the order of the headings
ROW = 8.5 * mm  # high enough for pencil
MOST_LISTED = 14
TITLE = "Day sheet"
HOW = (
    "A row for a piece and a stage (or a task). Used and spoiled: how much of what, such as 4.2 L laminating epoxy; several"
    " with a semicolon between. Hours of the shop itself: write shop for the piece, and what was done under stage."
)


def cut_pdf_bytes(brief: Brief, plans: Sequence[CutPlan], day: date, caution: str) -> bytes:
    """The pages, dated a day. The same plan gives the same bytes."""
    house, piece = brief.shop.shop, brief.job.piece
    upright = sheet(house.paper, house.accent)
    on, ink = Sheet(upright.size[::-1], upright.accent), Ink(glyphs())
    story: list[Any] = list(_summary(brief, plans, day, caution, on, ink))
    for plan in plans:
        for name, stock in told.numbered(plan):
            story += [PageBreak(), *_page(name, plan, stock, house.units, on, ink)]
    title = ink("title", f"Cut plan: {piece.title}")
    about = {"title": title, "author": ink("shop", house.name), "creator": "quoting"}
    return on_sheets(story, on, Running(title, "", ink("shop", house.name), str), about, day)[1]


def _summary(
    brief: Brief, plans: Sequence[CutPlan], day: date, caution: str, on: Sheet, ink: Ink
) -> Iterator[Any]:
    """What to buy, what to take from the rack, what to glue up and what to keep: the first page goes to the yard."""
    piece, system = brief.job.piece, brief.shop.shop.units
    title = " ".join(filter(None, ("Cut plan:", piece.code, piece.title)))
    yield on.words(ink("title", title), 13, bold=True)
    yield on.words(f"{day.isoformat()}", 9)
    for title, supplied in (("To buy", "bought"), ("From the rack", "rack")):
        yield from _list(title, [
            f"{told.number_words(many, plan)} of {plan.item}, {size}"
            for plan in plans for size, (many, _) in told.shopping(plan, supplied, system).items()
        ], on, ink)  # fmt: skip
    yield from _list(
        "To glue up", [words for plan in plans for words in told.panel_words(plan, system)], on, ink
    )
    yield from _list("To keep", [
        f"{plan.item}: {words}"
        for plan in plans for _, stock in told.numbered(plan) for words in told.offcut_words(stock, system) for _ in range(stock.number)
    ], on, ink)  # fmt: skip
    for item in unplanned(brief):
        yield on.words(ink("item", f"Not planned, and so not in these lists: {item.name}."), 10)
    yield Spacer(1, 8)
    yield on.words(ink("wording.caution.cut", caution), 8)


def _list(title: str, lines: Sequence[str], on: Sheet, ink: Ink) -> Iterator[Any]:
    if lines:
        yield Spacer(1, 8)
        yield on.words(title, 11, bold=True, keepWithNext=1)
        for line in lines:
            yield on.words(ink("item", line), 10)


def _page(name: str, plan: CutPlan, stock: SawnStock, system: str, on: Sheet, ink: Ink) -> list[Any]:
    figure, scale = stock_figure(plan, stock, system, on.width, HIGHEST)
    head = f"{name}: {plan.item}, {told.stock_words(stock, system)}"
    steps = [f"{mark} {words}" for mark, words in told.step_words(stock, system)]
    offcuts = told.offcut_words(stock, system)
    kept = [on.words(f"Kept: {', '.join(offcuts)}", 10)] if offcuts else []
    return [
        on.words(ink("item", head), 13, bold=True),
        Spacer(1, 6),
        drawing(figure, on.width),
        on.words(f"1 : {scale}. {key_words(stock)}", 8),
        *kept,
        Spacer(1, 8),
        _columns([("Cuts, in this order", steps), ("Blanks", told.blank_words(stock, system))], on, ink),
    ]


def _columns(lists: Sequence[tuple[str, Sequence[str]]], on: Sheet, ink: Ink) -> Table:
    """Lists side by side, row by row, so that long ones go on over pages."""
    rows: list[list[Any]] = [[on.words(head, 10, bold=True) for head, _ in lists]]
    for row in zip_longest(*(said for _, said in lists)):
        rows.append([on.words(ink("part", one), 10) if one else "" for one in row])
    style = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1), ("VALIGN", (0, 0), (-1, -1), "TOP")]  # fmt: skip
    return Table(rows, [on.width * 0.62, on.width * 0.38], style=style, repeatRows=1, hAlign="LEFT")


class SheetPiece(NamedTuple):
    """A piece in hand, as the sheet names it."""

    number: str
    title: str
    stages: tuple[str, ...]


def day_sheet_bytes(house: House, pieces: Sequence[SheetPiece], day: date) -> bytes:
    """The sheet as a PDF of one page; the same shop and pieces give the same bytes on one day."""
    ink, plain = Ink(glyphs()), sheet(house.paper, house.accent)
    on = Paper(plain.size, plain.accent, ink("shop.name", house.name), columns=1)
    head: list[Flowable] = [words("", TITLE, 14), words(HOW), Spacer(1, 2)]
    for piece in pieces[:MOST_LISTED]:
        stages = ", ".join(ink("stage", stage) for stage in piece.stages)
        head.append(words(f"{ink('piece.title', piece.title)} ({stages})", piece.number))
    if len(pieces) > MOST_LISTED:
        head.append(words(f"and {len(pieces) - MOST_LISTED} more: your list of pieces has them"))
    head.append(Spacer(1, 4))
    return in_columns([], [*head, _grid(on, head)], on, 1, TITLE, day)[1]


def _grid(on: Paper, head: Sequence[Flowable]) -> Table:
    """As many ruled rows as the page has room for, under the headings."""
    rows = max(8, int((on.height - taken(head, on) - ROW) // ROW) - 1)
    widths = [on.width * share / sum(SHARES) for share in SHARES]
    style: list[Any] = [
        ("FONTNAME", (0, 0), (-1, 0), BOLD),
        ("FONTNAME", (0, 1), (-1, -1), REGULAR),
        ("FONTSIZE", (0, 0), (-1, -1), 9),
        ("TEXTCOLOR", (0, 0), (-1, 0), QUIET),
        ("GRID", (0, 0), (-1, -1), 0.6, INK),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
    ]
    cells = [list(DAY_SHEET), *([[""] * len(DAY_SHEET)] * rows)]
    return Table(cells, widths, [ROW * 0.75, *([ROW] * rows)], style, hAlign="LEFT")
