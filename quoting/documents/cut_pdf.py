"""Cut plans for the wall of the shop: a page for every board, sheet or bar that is cut another way, with its cuts in order."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak, Spacer, Table

from quoting.documents.fonts import glyphs
from quoting.documents.page import Running, Sheet, build, sheet
from quoting.documents.pictures.cut import KEY, stock_figure
from quoting.documents.pictures.writers import drawing
from quoting.documents.quote_pdf import dated
from quoting.documents.quote_text import Ink
from quoting.sawing.words import (
    number_words,
    offcut_words,
    piece_words,
    size_words,
    step_words,
    stock_words,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date
    from typing import Any

    from quoting.cutting.record import CutPlan, SawnStock
    from quoting.inputs.brief import Brief

HIGHEST = 250.0
"""Of a drawing [pt]: a sheet and its cuts share a page."""

CAUTION = (
    "Mark every blank before the first cut, face and grain. Usual cautions of saws and of dust; the machine's manual, local codes and"
    " licensed practice decide."
)


def cut_pdf_bytes(brief: Brief, plans: Sequence[CutPlan], day: date) -> bytes:
    """The pages, dated a day. The same plan gives the same bytes."""
    house, piece = brief.shop.shop, brief.job.piece
    upright = sheet(house.paper, house.accent)
    on = Sheet(upright.size[::-1], upright.accent)
    ink = Ink(glyphs())
    story: list[Any] = []
    stocks = [(plan, stock) for plan in plans for stock in plan.stocks]
    for number, (plan, stock) in enumerate(stocks):
        story += [PageBreak()] if number else []
        story += _page(plan, stock, house.units, on, ink)
    title = ink("title", f"Cut plan: {piece.title}")
    about = {"title": title, "author": ink("shop", house.name), "creator": "quoting"}
    out = BytesIO()
    with dated(day):
        build(out, story, on, Running(title, "", ink("shop", house.name), str), about)
    return out.getvalue()


def _page(plan: CutPlan, stock: SawnStock, system: str, on: Sheet, ink: Ink) -> list[Any]:
    figure, scale = stock_figure(plan, stock, system, on.width, HIGHEST)
    head = f"{number_words(stock.number, plan)} of {plan.item}, {stock_words(stock, system)}"
    blanks = [
        f"{i} {piece_words(piece)}: {size_words(piece.length_m, piece.width_m, system)}"
        for i, piece in enumerate(stock.pieces, start=1)
    ]
    steps = [
        f"{i}. {words}"
        for i, words in enumerate(step_words(stock, system), start=0 if stock.end_m or stock.edge_m else 1)
    ]
    offcuts = offcut_words(stock, system)
    kept = [on.words(f"Kept: {', '.join(offcuts)}", 10)] if offcuts else []
    return [
        on.words(ink("item", head), 13, bold=True),
        Spacer(1, 6),
        drawing(figure, on.width),
        on.words(f"1 : {scale}. {KEY}", 8),
        *kept,
        Spacer(1, 8),
        _columns([("Cuts, in this order", steps), ("Blanks", blanks)], on, ink),
        Spacer(1, 8),
        on.words(CAUTION, 8),
    ]


def _columns(lists: Sequence[tuple[str, Sequence[str]]], on: Sheet, ink: Ink) -> Table:
    """Lists side by side, row by row, so that long ones go on over pages."""
    rows: list[list[Any]] = [[on.words(head, 10, bold=True) for head, _ in lists]]
    for i in range(max(len(words) for _, words in lists)):
        rows.append([on.words(ink("part", words[i]), 10) if i < len(words) else "" for _, words in lists])
    style = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1), ("VALIGN", (0, 0), (-1, -1), "TOP")]  # fmt: skip
    return Table(rows, [on.width * 0.62, on.width * 0.38], style=style, repeatRows=1, hAlign="LEFT")
