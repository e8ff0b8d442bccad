"""The paper on which a change is agreed: what changes, what it costs, and the total then."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.documents.client_view import client_view
from quoting.documents.fonts import glyphs
from quoting.documents.price_view import PriceRow
from quoting.documents.quote_pdf import drawn
from quoting.documents.quote_text import Ink, QuoteText

if TYPE_CHECKING:
    from datetime import date
    from decimal import Decimal

    from quoting.pricing.change import ChangePrice
    from quoting.pricing.record import Priced


class ChangePaper(NamedTuple):
    """A change as the client reads it. `sold` is the price of the quote, `before` the total agreed so far."""

    sold: Priced
    number: str
    position: int
    day: date
    words: str
    price: ChangePrice
    before: Decimal


def change_bytes(change: ChangePaper, logo: bytes | None = None) -> bytes:
    """The paper as a PDF; it shows no cost, margin or hours, as the quote does not."""
    ink = Ink(glyphs())
    text = QuoteText(change.sold, ink)
    quote = client_view(change.sold, text)
    position = str(change.position)
    heading = text.label("change", position=position, number=change.number)
    total = text.money(change.before + change.price.total)
    view = replace(
        quote,
        heading=heading,
        mark=text.label("number", number=f"{change.number} / {position}"),
        facts=((text.label("date"), text.day(change.day)),),
        words=ink("words", change.words),
        size=(),
        price=tuple(_rows(change, text, total)),
        payments=quote.payments._replace(rows=()),
        options=quote.options._replace(rows=()),
        passages=(),
        accept=text.label("change_accept"),
        accept_words=text.label("change_words", number=change.number, total=total),
        accept_lines=tuple(text.label(name) for name in ("name", "date", "sign") if text.label(name)),
        running=f"{heading} · {quote.title}",
    )
    return drawn(view, change.sold, change.day, logo=logo)


def _rows(change: ChangePaper, text: QuoteText, total: str) -> list[PriceRow]:
    """The total so far, the change as the shop shows prices, its tax, and the total then: they foot."""
    price, inside = change.price, change.sold.rules.included
    label = text.label("change_more" if price.total >= 0 else "change_less")
    rows = [PriceRow(text.label("change_so_far"), text.money(change.before))]
    rows.append(PriceRow(label, text.money(price.total if inside else price.net)))
    if price.tax and not inside:
        tax = change.sold.shop.tax.name
        rows.append(
            PriceRow(
                text.label("tax_added", name=tax, rate=text.share(change.sold.rules.tax)),
                text.money(price.tax),
            )
        )
    return [*rows, PriceRow(text.label("total"), total, "total")]
