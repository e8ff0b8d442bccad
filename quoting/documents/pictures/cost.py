"""Pictures of a price: what the cost is made of, and how the price comes out of it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.documents.paper.fonts import glyphs
from quoting.documents.paper.text import Ink, QuoteText
from quoting.documents.pictures.marks import (
    AGAINST,
    EDGE,
    FIRST,
    PLANNED,
    SOLID,
    WIDTH,
    Figure,
    accent_of,
    padded,
    title,
)
from quoting.documents.pictures.rows import Row, Span, bars, height, line_at, scale_of
from quoting.pricing.sentences import group_title

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


def cost_picture(priced: Priced) -> Figure:
    """A bar a group of costs, the dearest first, with its amount and its share of all."""
    text = QuoteText(priced, Ink(glyphs()))
    groups = {name: priced.cost[name] for name in (*priced.groups, "reserve") if priced.cost.get(name)}
    whole = sum(groups.values(), Decimal(0))
    rows = [
        Row(
            group_title(name),
            (Span(0.0, float(amount), SOLID if amount > 0 else AGAINST),),
            f"{text.money(amount)}, {text.about_share(float(amount / whole))}",
        )
        for name, amount in sorted(groups.items(), key=lambda one: -one[1])
    ]
    count = priced.job.piece.quantity
    said = f"What {'the piece costs' if count == 1 else f'the {count} pieces cost'}: {text.money(whole)}"
    return _of_rows(said, "; ".join(f"{row.name} {row.said}" for row in rows), rows, priced)


def price_picture(priced: Priced) -> Figure:
    """From the cost to what the client pays, a bar a step from where the one before ended."""
    text, chain = QuoteText(priced, Ink(glyphs())), priced.chain
    reserve = priced.cost.get("reserve", Decimal(0))
    kept = chain.net - chain.fee_total - chain.with_reserve - chain.delivery_extra
    steps = (
        ("reserve", reserve, PLANNED),
        ("trip beyond the free radius", chain.delivery_extra, SOLID),
        ("fees, and what is kept for mending", chain.fee_total, SOLID),
        ("margin", kept, SOLID),
    )
    at = chain.with_reserve - reserve
    rows = [_total("cost by the plan", at, text)]
    for name, amount, colour in steps:
        if amount:
            rows.append(_step(name, at, amount, colour, text))
            at += amount
    rows.append(_total("price without tax", chain.net, text))
    if chain.tax:
        rows.append(_step(priced.shop.tax.name, chain.net, chain.tax, PLANNED, text))
        rows.append(_total("what the client pays", chain.total, text))
    share = text.share(chain.margin.quantize(Decimal("0.001")))
    said = f"From the cost to the price: a margin of {share}; pale: what is held back, or passed on"
    return _of_rows(said, "; ".join(f"{row.name} {row.said}" for row in rows), rows, priced)


def _step(name: str, at: Decimal, amount: Decimal, colour: str, text: QuoteText) -> Row:
    return Row(name, (Span(float(at), float(at + amount), colour),), text.money(amount))


def _total(name: str, amount: Decimal, text: QuoteText) -> Row:
    return Row(name, (Span(0.0, float(amount), SOLID),), text.money(amount), bold=True)


def _of_rows(said: str, words: str, rows: list[Row], priced: Priced) -> Figure:
    """The rows under their title, from a line at nothing."""
    on, foot = scale_of(rows, 0.0), FIRST + height(rows)
    marks = [title(said, accent_of(priced.shop.shop)), *bars(rows, on, FIRST)]
    marks.append(line_at(0.0, on, FIRST - 3, foot))
    return padded(Figure(WIDTH, foot + 4, said, words, marks), EDGE)
