"""What the client may see of a priced job. The page is drawn from this record alone.

Cost, margin, hours, quantities of material, suppliers and prices of items are not in it, so no page
can show them.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from quoting import measures
from quoting.declaration import COATING, FINISH
from quoting.documents.paper.text import QuoteText
from quoting.documents.quote.price_view import (
    PriceRow,
    Schedule,
    option_schedule,
    payment_schedule,
    price_rows,
)
from quoting.job.job import Job
from quoting.pricing.record import Priced
from quoting.trades.parts import parts
from quoting.trades.registry import trades

SIGNED = ("name", "date", "sign")
"""Labels of the lines that are filled in by hand."""


class Passage(NamedTuple):
    """A heading and its paragraphs, or its list."""

    heading: str
    words: tuple[str, ...]
    listed: bool = False


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
    offered, options, day = _offered(priced), option_schedule(priced, text), text.day(priced.day)
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
            date=day,
            title=" ".join(inked("piece", piece, "code", "title")),
            total=text.money(priced.chain.total),
        ),
        accept_lines=_filled(text.label("chosen") if options.rows else "", *map(text.label, SIGNED)),
        running=" · ".join(
            _filled(heading, *inked("piece", piece, "code", "title"), ink("client.name", client.name), day)
        ),
        contact=" · ".join(inked("shop", house, "name", "phone", "email")),
        page=text.label("page"),
    )


def _offered(priced: Priced) -> bool:
    """A piece for sale that nobody has asked for: nothing to accept, no first payment to wait for."""
    return priced.job.piece.basis == "for sale" and not priced.job.client.name


def _filled(*words: str) -> tuple[str, ...]:
    return tuple(filter(None, words))


def _facts(priced: Priced, text: QuoteText) -> Iterator[tuple[str, str]]:
    """Date, validity, and when the piece is ready."""
    if priced.job.piece.code:
        yield text.label("reference"), text.ink("piece.code", priced.job.piece.code)
    if priced.replaces and text.label("replaces"):
        yield text.label("replaces"), priced.replaces
    yield text.label("date"), text.day(priced.day)
    yield text.label("valid_until"), text.day(priced.valid_until)
    if ready := ready_words(priced, text):
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


def passages(priced: Priced, text: QuoteText) -> Iterator[Passage]:
    """Lists first, then what is to be read once; nothing for what the job leaves empty."""
    job, ink = priced.job, text.ink
    found = [
        Passage(text.label(name), tuple(ink(f"piece.{name}", item) for item in items), listed=True)
        for name, items in (("included", job.piece.included), ("not_included", job.piece.not_included))
    ]
    found += [
        Passage(text.label("materials"), tuple(_materials(job, text)), listed=True),
        Passage(text.label("notes"), (ink("quote.notes", job.quote.notes),)),
        Passage(text.label("terms"), (ink("terms.words", priced.shop.terms.words),)),
        Passage(text.label("care"), (ink("piece.care", job.piece.care),)),
        Passage(text.label("safety"), tuple(_safety(priced, text))),
    ]
    for passage in found:
        words = _filled(*passage.words)
        if words and passage.heading:
            yield passage._replace(words=words)


def _materials(job: Job, text: QuoteText) -> Iterator[str]:
    """Each material once, with the parts it makes: no sizes, no amounts, nobody's price.

    A part that is called as its material is (oil of hard wax oil) is not told twice.
    """
    made_of: dict[str, dict[str, None]] = {}
    for field, part, material, supplied in _parts(job, text):
        name = text.ink(field, material)
        if supplied == "client":
            name = text.label("from_client", material=name)
        parts = made_of.setdefault(name, {})
        if not set(part.casefold().split()) <= set(name.casefold().split()):
            parts[text.ink(f"{field}.part", part)] = None
    for name, parts in made_of.items():
        yield f"{name[:1].upper()}{name[1:]}" + (f": {', '.join(parts)}" if parts else "")


def _parts(job: Job, text: QuoteText) -> Iterator[tuple[str, str, str, str]]:
    """Field, part, material in the client's words, and who brings it; what lies on the surface last."""
    found = [(trades()[trade], part) for trade, part in parts(job) if trades()[trade].material]
    for trade, part in sorted(found, key=lambda one: one[0].chain in (COATING, FINISH)):
        how, _, name = trade.material.partition(":")
        words = name if how == "word" else getattr(part, name)
        material = words if how == "field" else text.label(words)
        yield f"{trade.name}.{part.id}", part.part, material, part.supplied


def _safety(priced: Priced, text: QuoteText) -> Iterator[str]:
    """Notes by what the piece holds, but for those its job leaves out; a heavy piece tells its mass, rounded up."""
    shop, words = priced.shop, priced.wording["safety"]
    called = {name for name, _ in priced.cautions} - set(priced.job.quote.leave_out)
    pound_or_kg = measures.unit("lb" if shop.shop.units == "inch" else "kg").factor
    whole = math.ceil(priced.quantities["mass_kg"] / pound_or_kg) * pound_or_kg
    for name in words:
        if name in called:
            note = text.ink(f"wording.safety.{name}", words[name])
            yield note.replace("{mass}", text.measure(whole, "mass"))
