"""Papers for the client as PDFs: the quote, a change to be agreed, the price card of a piece. No cost, no margin."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from quoting.documents.paper.page import SMALL, Running, Sheet, on_sheets, sheet
from quoting.documents.paper.text import REGULAR, QuoteText, cut, filled
from quoting.documents.quote.client_view import SIGNED, ClientView, Party, client_view
from quoting.documents.quote.price_view import PriceRow, tax_label
from quoting.documents.quote.story import story
from quoting.pricing.channels import Selling
from quoting.pricing.record import Priced, Warned
from quoting.pricing.sale import ChangePrice, Sale

TIGHT = 0.5  # of the usual air between blocks

OF_THE_ORDER = ("terms", "notes")
"""Passages that belong to an order, not to a card."""


def quote_bytes(
    priced: Priced, picture: bytes | None = None, logo: bytes | None = None
) -> tuple[bytes, tuple[Warned, ...]]:
    """The quote, and warnings about what could not be printed as written. Pictures are fit for print already.

    The file is dated by the quote's own day. It is built more than once: to count its pages, and with
    less air between blocks where that saves a last page with little on it.
    """
    text = QuoteText(priced)
    view = client_view(priced, text)
    return laid(view, priced, priced.day, picture, logo)[1], text.ink.warnings


def laid(
    view: ClientView, priced: Priced, day: date, picture: bytes | None, logo: bytes | None
) -> tuple[int, bytes]:
    """The number of pages, and the PDF of a paper for the client, on the sheet of the shop and dated `day`."""
    house = priced.shop.shop
    on = sheet(house.paper, house.accent)
    about = {
        "title": _line(f"{view.heading}: {view.title}"),
        "author": _line(view.maker.name),
        "subject": _line(f"{view.prepared_for} {view.client.name}" if view.client.name else view.heading),
        "creator": "quoting",
        "lang": view.language,
    }

    def built(on: Sheet, pages: int) -> tuple[int, bytes]:
        def page(number: int) -> str:
            words = filled(view.page, {"page": str(number), "pages": str(pages)})
            return cut(words, REGULAR, SMALL, on.width / 2)

        running = Running(view.running, view.mark, view.contact, page)
        return on_sheets(story(view, on, picture, logo), on, running, about, day, tagged=True)

    pages, _ = built(on, 0)
    if pages > 1:
        tight = replace(on, air=TIGHT)
        fewer, _ = built(tight, 0)
        on, pages = (tight, fewer) if fewer < pages else (on, pages)
    return built(on, pages)


def _line(text: str) -> str:
    return " ".join(text.split())


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
    text = QuoteText(change.sold)
    quote = client_view(change.sold, text)
    position = str(change.position)
    heading = text.label("change", position=position, number=change.number)
    total = text.money(change.before + change.price.total)
    view = _without_terms(
        quote,
        heading,
        mark=text.label("number", number=f"{change.number} / {position}"),
        facts=((text.label("date"), text.day(change.day)),),
        words=text.ink("words", change.words),
        size=(),
        price=tuple(_rows(change, text, total)),
        passages=(),
        accept=text.label("change_accept"),
        accept_words=text.label("change_words", number=change.number, total=total),
        accept_lines=tuple(filter(None, map(text.label, SIGNED))),
    )
    return laid(view, change.sold, change.day, None, logo)[1]


def _without_terms(quote: ClientView, heading: str, **changed: Any) -> ClientView:
    """The view of a quote as another paper on the same piece: no payments and options, all else as it is `changed`."""
    changed |= {"payments": quote.payments._replace(rows=()), "options": quote.options._replace(rows=())}
    return replace(quote, heading=heading, running=f"{heading} · {quote.title}", **changed)


def _rows(change: ChangePaper, text: QuoteText, total: str) -> Iterator[PriceRow]:
    """The total so far, the change as the shop shows prices, its tax, and the total then: they foot."""
    price, inside = change.price, change.sold.rules.included
    label = text.label("change_more" if price.total >= 0 else "change_less")
    yield PriceRow(text.label("change_so_far"), text.money(change.before))
    yield PriceRow(label, text.money(price.total if inside else price.net))
    if price.tax and not inside:
        yield PriceRow(
            tax_label(change.sold, text, "tax_added", change.sold.rules.tax), text.money(price.tax)
        )
    yield PriceRow(text.label("total"), total, "total")


def price_card_bytes(
    priced: Priced,
    through: Selling,
    sale: Sale,
    pickup: Sale | None,
    built: bool,
    picture: bytes | None,
    logo: bytes | None,
) -> bytes:
    """The card as a PDF, dated as the price is. What a buyer reads first stays where one page cannot hold all."""
    text = QuoteText(priced)
    quote = client_view(replace(priced, number=""), text)
    ordered = {text.label(name) for name in OF_THE_ORDER}
    view = _without_terms(
        quote,
        text.label("heading_sale"),
        mark=text.label("card_ready" if built else "card_order"),
        prepared_for="",
        client=Party("", ()),
        facts=tuple(fact for fact in quote.facts if fact[0] in (text.label("reference"), text.label("date"))),
        price=tuple(_card_rows(priced, through, sale, pickup, text)),
        accept="",
    )
    whole = tuple(one for one in quote.passages if one.heading not in ordered)
    unlisted = tuple(one for one in whole if not one.listed)
    for passages in (whole, unlisted, ()):  # as much as fits on one page
        pages, data = laid(replace(view, passages=passages), priced, priced.day, picture, logo)
        if pages == 1:
            break
    return data


def _card_rows(
    priced: Priced, through: Selling, sale: Sale, pickup: Sale | None, text: QuoteText
) -> Iterator[PriceRow]:
    """The price as the shop shows prices, its tax below, and what it is where the buyer fetches it."""
    label = text.label("card_sold")
    if through.delivers:
        distance = text.measure(priced.shop.delivery.free_distance, "distance")
        label = text.label("card_delivered", distance=distance)
    yield PriceRow(label, text.money(sale.seen), "total")
    yield from _tax_row(priced, through, sale, text)
    if pickup is not None and pickup.seen < sale.seen:
        yield PriceRow(text.label("card_fetched"), text.money(pickup.seen))
        yield from _tax_row(priced, through, pickup, text)


def _tax_row(priced: Priced, through: Selling, sale: Sale, text: QuoteText) -> Iterator[PriceRow]:
    """The tax of a price, below it: in it, or to be added."""
    if sale.tax:
        key = "tax_included" if through.rules.included else "card_tax"
        yield PriceRow(tax_label(priced, text, key, through.rules.tax), text.money(sale.tax), "within")
