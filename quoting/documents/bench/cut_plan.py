"""Cut plans for the wall of the shop: a page for every board, sheet or bar that is cut another way, with its cuts in order."""

from collections.abc import Iterator, Sequence
from datetime import date
from io import BytesIO
from typing import Any

from reportlab.platypus import PageBreak, Spacer, Table

from quoting.cut_plans.plan import unplanned
from quoting.cut_plans.words import (
    blank_words,
    number_words,
    numbered,
    offcut_words,
    panel_words,
    shopping,
    step_words,
    stock_words,
)
from quoting.documents.paper.page import Running, Sheet, build, dated, sheet
from quoting.documents.paper.text import Ink, glyphs
from quoting.documents.pictures.cut import key_words, stock_figure
from quoting.documents.pictures.writers import drawing
from quoting.job.brief import Brief
from quoting.takeoff.stock import CutPlan, SawnStock

HIGHEST = 250.0
"""Of a drawing [pt]: a sheet and its cuts share a page."""


def cut_pdf_bytes(brief: Brief, plans: Sequence[CutPlan], day: date, caution: str) -> bytes:
    """The pages, dated a day. The same plan gives the same bytes."""
    house, piece = brief.shop.shop, brief.job.piece
    upright = sheet(house.paper, house.accent)
    on, ink = Sheet(upright.size[::-1], upright.accent), Ink(glyphs())
    story: list[Any] = list(_summary(brief, plans, day, caution, on, ink))
    for plan in plans:
        for name, stock in numbered(plan):
            story += [PageBreak(), *_page(name, plan, stock, house.units, on, ink)]
    title = ink("title", f"Cut plan: {piece.title}")
    about = {"title": title, "author": ink("shop", house.name), "creator": "quoting"}
    out = BytesIO()
    with dated(day):
        build(out, story, on, Running(title, "", ink("shop", house.name), str), about)
    return out.getvalue()


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
            f"{number_words(many, plan)} of {plan.item}, {size}"
            for plan in plans for size, (many, _) in shopping(plan, supplied, system).items()
        ], on, ink)  # fmt: skip
    yield from _list("To glue up", [words for plan in plans for words in panel_words(plan, system)], on, ink)
    yield from _list("To keep", [
        f"{plan.item}: {words}"
        for plan in plans for _, stock in numbered(plan) for words in offcut_words(stock, system) for _ in range(stock.number)
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
    head = f"{name}: {plan.item}, {stock_words(stock, system)}"
    steps = [f"{mark} {words}" for mark, words in step_words(stock, system)]
    offcuts = offcut_words(stock, system)
    kept = [on.words(f"Kept: {', '.join(offcuts)}", 10)] if offcuts else []
    return [
        on.words(ink("item", head), 13, bold=True),
        Spacer(1, 6),
        drawing(figure, on.width),
        on.words(f"1 : {scale}. {key_words(stock)}", 8),
        *kept,
        Spacer(1, 8),
        _columns([("Cuts, in this order", steps), ("Blanks", blank_words(stock, system))], on, ink),
    ]


def _columns(lists: Sequence[tuple[str, Sequence[str]]], on: Sheet, ink: Ink) -> Table:
    """Lists side by side, row by row, so that long ones go on over pages."""
    rows: list[list[Any]] = [[on.words(head, 10, bold=True) for head, _ in lists]]
    for i in range(max(len(words) for _, words in lists)):
        rows.append([on.words(ink("part", words[i]), 10) if i < len(words) else "" for _, words in lists])
    style = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1), ("VALIGN", (0, 0), (-1, -1), "TOP")]  # fmt: skip
    return Table(rows, [on.width * 0.62, on.width * 0.38], style=style, repeatRows=1, hAlign="LEFT")
