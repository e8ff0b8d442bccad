"""What the client may see of a priced job. The page is drawn from this record alone.

Cost, margin, hours, quantities of material, suppliers and prices of items are not in it, so no page
can show them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

from quoting import measures
from quoting.documents.price_view import option_schedule, payment_schedule, price_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.documents.price_view import PriceRow, Schedule
    from quoting.documents.quote_text import QuoteText
    from quoting.inputs.job import Job
    from quoting.pricing.record import Priced


class Party(NamedTuple):
    """A name and what stands below it."""

    name: str
    lines: tuple[str, ...]


class Passage(NamedTuple):
    """A heading and its paragraphs, or its list."""

    heading: str
    words: tuple[str, ...]
    listed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientView:
    """The quote in words and printed figures, top to bottom."""

    heading: str
    draft: str
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
    accept_lines: tuple[str, ...]
    contact: str
    page: str


def client_view(priced: Priced, text: QuoteText) -> ClientView:
    """The client's side of a priced job, in the words of its shop."""
    house, client, piece, ink = priced.shop.shop, priced.job.client, priced.job.piece, text.ink
    return ClientView(
        heading=text.label("heading"),
        draft=text.label("draft"),
        maker=Party(
            ink("shop.name", house.name),
            _filled(
                ink("shop.address", house.address),
                ink("shop.email", house.email),
                ink("shop.phone", house.phone),
            ),
        ),
        prepared_for=text.label("for"),
        client=Party(
            ink("client.name", client.name),
            _filled(ink("client.address", client.address), ink("client.email", client.email)),
        ),
        facts=tuple(_facts(priced, text)),
        title=ink("piece.title", piece.title),
        words=ink("piece.words", piece.words),
        size=tuple(_size(priced, text)),
        price_heading=text.label("price"),
        price=tuple(price_rows(priced, text)),
        payments=payment_schedule(priced, text),
        options=option_schedule(priced, text),
        passages=tuple(passage for passage in _passages(priced, text) if passage.words),
        accept=text.label("accept"),
        accept_lines=(text.label("name"), text.label("date"), text.label("sign")),
        contact=" · ".join(
            _filled(*(ink(f"shop.{name}", getattr(house, name)) for name in ("name", "phone", "email")))
        ),
        page=text.label("page"),
    )


def _filled(*words: str) -> tuple[str, ...]:
    return tuple(word for word in words if word)


def _facts(priced: Priced, text: QuoteText) -> Iterator[tuple[str, str]]:
    """Date, validity, and when the piece is ready."""
    quote = priced.job.quote
    valid = priced.shop.terms.valid if quote.valid is None else quote.valid
    yield text.label("date"), text.day(priced.day)
    yield text.label("valid_until"), text.day(priced.day + timedelta(days=valid))
    if quote.ready_by is not None:
        yield text.label("ready"), text.label("ready_by", date=text.day(quote.ready_by))
        return
    weeks = max(1, math.ceil(priced.quantities["lead_days"] / 7 - 1e-9))
    yield text.label("ready"), text.label("lead_week" if weeks == 1 else "lead_time", weeks=str(weeks))


def _size(priced: Priced, text: QuoteText) -> Iterator[tuple[str, str]]:
    """Dimensions, each with its name, and the number of pieces where there are several."""
    piece = priced.job.piece
    sides = (("long", piece.length), ("wide", piece.width), ("high", piece.height))
    words = [
        text.label(name, measure=text.measure(side, "length")) for name, side in sides if side is not None
    ]
    if words:
        yield text.label("size"), " × ".join(words)
    if piece.quantity > 1:
        yield text.label("pieces"), str(piece.quantity)


def _passages(priced: Priced, text: QuoteText) -> Iterator[Passage]:
    """Lists first, then what is to be read once."""
    job, ink = priced.job, text.ink
    for name in ("included", "not_included"):
        items = tuple(ink(f"piece.{name}", item) for item in getattr(job.piece, name) if item)
        yield Passage(text.label(name), items, listed=True)
    yield Passage(text.label("materials"), tuple(_materials(job, text)), listed=True)
    yield Passage(text.label("notes"), _filled(ink("quote.notes", job.quote.notes)))
    yield Passage(text.label("terms"), _filled(ink("terms.words", priced.shop.terms.words)))
    yield Passage(text.label("care"), _filled(ink("piece.care", job.piece.care)))
    yield Passage(text.label("safety"), tuple(_safety(priced, text)))


def _materials(job: Job, text: QuoteText) -> Iterator[str]:
    """Each material once, with the parts it makes: no sizes, no amounts, nobody's price."""
    made_of: dict[str, dict[str, None]] = {}
    named = [
        *(("hardwood", part, part.species) for part in job.hardwood),
        *(("sheet", part, part.item) for part in job.sheet),
        *(("laminate", part, text.label("laminate")) for part in job.laminate),
        *(("casting", part, text.label("casting")) for part in job.casting),
        *(("glass", part, text.label(part.treatment)) for part in job.glass),
        *(("metal", part, part.metal) for part in job.metal),
        *(("coating", part, text.label("coating")) for part in job.coating),
        *(("finish", part, part.product) for part in job.finish),
    ]
    for trade, part, material in named:
        field = f"{trade}.{part.id}"
        name = text.ink(field, material)
        if part.supplied == "client":
            name = text.label("from_client", material=name)
        made_of.setdefault(name, {})[text.ink(f"{field}.part", part.part)] = None
    for name, parts in made_of.items():
        yield f"{name[:1].upper()}{name[1:]}: {', '.join(parts)}"


def _safety(priced: Priced, text: QuoteText) -> Iterator[str]:
    """Notes by what the piece holds; a heavy piece tells its mass, rounded up."""
    job, shop, words = priced.job, priced.shop, priced.wording["safety"]
    if job.glass:
        yield text.ink("wording.safety.glass", words["glass"])
    if job.piece.height is not None and job.piece.height >= shop.warnings.tip_over_height:
        yield text.ink("wording.safety.tip_over", words["tip_over"])
    if job.laminate or job.casting or job.coating:
        yield text.ink("wording.safety.resin", words["resin"])
    if any(warning.code == "lifting" for warning in priced.warnings):
        pound_or_kg = measures.unit("lb" if shop.shop.units == "inch" else "kg").factor
        whole = math.ceil(priced.quantities["mass_kg"] / pound_or_kg) * pound_or_kg
        note = text.ink("wording.safety.lifting", words["lifting"])
        yield note.replace("{mass}", text.measure(whole, "mass"))
