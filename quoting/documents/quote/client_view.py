"""What the client may see of a priced job. The page is drawn from this record alone.

Cost, margin, hours, quantities of material, suppliers and prices of items are not in it, so no page
can show them.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from quoting.documents.paper.text import QuoteText
from quoting.documents.quote.passages import Passage, passages
from quoting.documents.quote.price_view import (
    PriceRow,
    Schedule,
    option_schedule,
    payment_schedule,
    price_rows,
)
from quoting.pricing.record import Priced

SIGNED = ("name", "date", "sign")
"""Labels of the lines that are filled in by hand."""


class Party(NamedTuple):
    """A name and what stands below it."""

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientView:
    """The quote in words and printed figures, top to bottom."""

    language: str
    heading: str
    mark: str
    maker: Party
    prepared_for: str
    client: Party
    facts: tuple[tuple[str, str], ...]
    title: str
    words: str
    size: tuple[tuple[str, str], ...]
    price_heading: str
    price: tuple[PriceRow, ...]
    payments: Schedule
    options: Schedule
    passages: tuple[Passage, ...]
    accept: str
    accept_words: str
    accept_lines: tuple[str, ...]
    running: str
    contact: str
    page: str


def client_view(priced: Priced, text: QuoteText) -> ClientView:
    """The client's side of a priced job, in the words of its shop."""
    house, client, piece, ink = priced.shop.shop, priced.job.client, priced.job.piece, text.ink
    offered, options = _offered(priced), option_schedule(priced, text)
    heading = text.label("heading_sale" if offered else "heading")

    def inked(section: str, record: object, *names: str) -> tuple[str, ...]:
        return _filled(*(ink(f"{section}.{name}", getattr(record, name)) for name in names))

    return ClientView(
        language=f"{text.language}-{house.locale.partition('_')[2]}",
        heading=heading,
        mark=text.label("number", number=priced.number) if priced.number else text.label("draft"),
        maker=Party(ink("shop.name", house.name), inked("shop", house, "address", "email", "phone")),
        prepared_for=text.label("for"),
        client=Party(ink("client.name", client.name), inked("client", client, "address", "email")),
        facts=tuple(_facts(priced, text)),
        title=ink("piece.title", piece.title),
        words=ink("piece.words", piece.words),
        size=tuple(_size(priced, text)),
        price_heading=text.label("price"),
        price=tuple(price_rows(priced, text)),
        payments=options._replace(rows=()) if offered else payment_schedule(priced, text),
        options=options,
        passages=tuple(passages(priced, text)),
        accept="" if offered else text.label("accept"),
        accept_words=text.label(
            "accept_number" if priced.number else "accept_words",
            number=priced.number,
            date=text.day(priced.day),
            title=" ".join(inked("piece", piece, "code", "title")),
            total=text.money(priced.chain.total),
        ),
        accept_lines=_filled(
            text.label("chosen") if options.rows else "", *(text.label(name) for name in SIGNED)
        ),
        running=" · ".join(
            _filled(
                heading,
                *inked("piece", piece, "code", "title"),
                *inked("client", client, "name"),
                text.day(priced.day),
            )
        ),
        contact=" · ".join(inked("shop", house, "name", "phone", "email")),
        page=text.label("page"),
    )


def _offered(priced: Priced) -> bool:
    """A piece for sale that nobody has asked for: nothing to accept, no first payment to wait for."""
    return priced.job.piece.basis == "for sale" and not priced.job.client.name


def _filled(*words: str) -> tuple[str, ...]:
    return tuple(word for word in words if word)


def _facts(priced: Priced, text: QuoteText) -> Iterator[tuple[str, str]]:
    """Date, validity, and when the piece is ready."""
    if priced.job.piece.code:
        yield text.label("reference"), text.ink("piece.code", priced.job.piece.code)
    if priced.replaces and text.label("replaces"):
        yield text.label("replaces"), priced.replaces
    yield text.label("date"), text.day(priced.day)
    yield text.label("valid_until"), text.day(priced.valid_until)
    ready = ready_words(priced, text)
    if ready:
        yield text.label("ready"), ready


def ready_words(priced: Priced, text: QuoteText) -> str:
    """When the piece is ready; "" where the shop's words, or a piece for sale, do not say."""
    ready_by = priced.job.quote.ready_by
    if not text.label("ready"):
        return ""
    if ready_by is not None:
        return text.label("ready_by", date=text.day(ready_by))
    if _offered(priced):
        return ""
    weeks = max(1, math.ceil(priced.quantities["lead_days"] / 7 - 1e-9))
    return text.label("lead_week" if weeks == 1 else "lead_time", weeks=str(weeks))


def _size(priced: Priced, text: QuoteText) -> Iterator[tuple[str, str]]:
    """Dimensions, each with its name, and the number of pieces where there are several."""
    piece = priced.job.piece
    sides = (("long", piece.length), ("wide", piece.width), ("high", piece.height))
    words = [text.label(name, measure=text.size(side)) for name, side in sides if side is not None]
    if words:
        yield text.label("size"), " × ".join(words)
    if piece.quantity > 1:
        yield text.label("pieces"), str(piece.quantity)
