"""The price of a finished or planned piece: from its cost, as it was where the ledger knows it, through every channel."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.shared import trip_beyond
from quoting.errors import Problem, Problems, Reading, nearest
from quoting.inputs.load import load_shop
from quoting.inputs.wording import wording
from quoting.ledger import files, quotes
from quoting.ledger.number import number
from quoting.ledger.store import reading
from quoting.measures import measure
from quoting.money import exact
from quoting.pick import likely
from quoting.pricing.channels import bare_cost, own_cost, planned_base, selling
from quoting.pricing.sale import sale_at
from quoting.pricing.selling import outcome, planned_spending
from quoting.review.piece import piece_of
from quoting.review.spending import spending_of
from quoting.runs.as_quoted import as_quoted
from quoting.runs.pricing import check, read_brief, with_options
from quoting.runs.shops import shop_folder_here
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from quoting.inputs.brief import Brief
    from quoting.inputs.shop import Shop
    from quoting.ledger.store import Connection
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced
    from quoting.pricing.selling import Outcome, Spending
    from quoting.review.piece import Piece

SELLING_RULES = ("pricing", "fee", "channel", "delivery", "tax")
"""Sections of the shop file that rule a sale made today, whatever they were when the piece was quoted."""


class Asked(NamedTuple):
    """What the maker asks beside the piece: a price, the channel of card and offer, and where these are written."""

    price: str = ""
    channel: str = ""
    out: Path | None = None


class Found(NamedTuple):
    """A piece with its spending, what it brings through every channel, and at the prices asked about.

    `channel` is the one that the plain figures speak of; `expected` are outcomes at what the maker expects it to fetch.
    """

    name: str
    state: str
    priced: Priced
    spending: Spending
    channel: str
    channels: tuple[Selling, ...]
    asked: Outcome | None
    expected: tuple[Outcome, ...]
    written: list[Path]

    @property
    def own(self) -> Selling:
        """The channel that the plain figures speak of."""
        return next(one for one in self.channels if one.name == self.channel)


class _Known(NamedTuple):
    """What is known of a piece, from its job or from the ledger."""

    name: str
    state: str
    brief: Brief
    priced: Priced
    spending: Spending
    picture: bytes | None
    logo: bytes | None


def sell(piece: str, shop: Path | None, settings: Sequence[str], asked: Asked) -> Found:
    """Price a piece for sale. `piece` is a job file, or the number of an issued quote whose ledger tells what it took."""
    known = _of_number(piece, shop, settings) if _is_number(piece) else _of_job(Path(piece), shop, settings)
    own = asked.channel or known.brief.job.price.channel or known.brief.shop.pricing.channel
    if own not in known.brief.shop.channel:
        raise Problems([Problem("--channel", f'found "{own}"', nearest(own, known.brief.shop.channel))])
    digits = known.priced.digits
    channels = tuple(
        selling(known.brief, name, known.spending.base, digits) for name in known.brief.shop.channel
    )
    found = Found(known.name, known.state, known.priced, known.spending, own, channels, None, (), [])
    price = _price(asked.price, digits)
    found = found._replace(
        asked=None if price is None else _at(found, price),
        expected=tuple(_at(found, amount) for amount in _expected(known.brief, digits)),
    )
    if asked.out is None:
        return found
    return found._replace(written=_write(asked.out, found, known, price))


def _is_number(text: str) -> bool:
    if Path(text).exists():
        return False
    try:
        number(text)
    except Reading:
        return False
    return True


def _of_job(job: Path, shop: Path | None, settings: Sequence[str]) -> _Known:
    """A planned piece: nothing is spent yet, the reserve counts."""
    checked = check(job, shop, settings)
    priced, _ = with_options(checked)
    spending = planned_spending(priced, planned_base(checked.brief, priced), bare_cost(checked.brief))
    return _Known(job.stem, "planned", checked.brief, priced, spending, checked.picture, checked.logo)


def _of_number(name: str, shop: Path | None, settings: Sequence[str]) -> _Known:
    """A piece of the ledger, sold by the rules of today."""
    if settings:
        raise Problems(
            [Problem("--set", "found an issued quote, which stands as it is", "name the job file")]
        )
    folder = shop_folder_here(shop)
    today = load_shop(folder).shop
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, name))
        kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
        brief = _brief_of(book, piece, folder, today)
    problems: list[Problem] = []
    words = wording(folder, problems)
    if problems:
        raise Problems(problems)
    delivery = own_cost(brief) + float(trip_beyond(brief, likely)) - bare_cost(brief)
    ruled = replace(brief.shop, **{section: getattr(today, section) for section in SELLING_RULES})
    return _Known(
        str(piece.number),
        piece.standing.words,
        replace(brief, shop=ruled),
        replace(piece.plan, shop=ruled, wording=words),
        spending_of(piece, delivery),
        kept.get("picture"),
        kept.get("logo"),
    )


def _brief_of(book: Connection, piece: Piece, folder: Path, today: Shop) -> Brief:
    """The brief that a piece was quoted by, with the option that was chosen; its channel must still be there."""
    kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
    entry = piece.standing.entry
    with tempfile.TemporaryDirectory() as made:
        then = as_quoted(Path(made), kept, folder)
        job = then / "job.toml"
        job.write_bytes(next(data for name, data in kept.items() if name.startswith("jobs/")))
        brief, problems = read_brief(job, then, (), entry.item if entry is not None else "")
    if brief is None or problems:
        raise Problems(problems)
    channel = brief.job.price.channel
    if channel and channel not in today.channel:
        return replace(brief, job=replace(brief.job, price=replace(brief.job.price, channel="")))
    return brief


def _price(text: str, digits: int) -> Decimal | None:
    if not text:
        return None
    try:
        return exact(measure(text, "money"), digits)
    except Reading as wrong:
        raise Problems([Problem("--price", wrong.found, wrong.write)]) from None


def _expected(brief: Brief, digits: int) -> list[Decimal]:
    """What the maker expects the piece to fetch: low, and high where they differ."""
    span = brief.job.price.expected
    ends = () if span is None else (span.low, span.high)
    return list(dict.fromkeys(exact(end, digits) for end in ends))


def _at(found: Found, price: Decimal) -> Outcome:
    own = found.own
    return outcome(sale_at(price, own.rules), found.spending, own.cost)


def _write(folder: Path, found: Found, known: _Known, price: Decimal | None) -> list[Path]:
    """The price card and the offer record, at the price asked about or the list price of the channel."""
    from quoting.documents.offer import offer_bytes
    from quoting.documents.price_card import price_card_bytes

    own = found.own
    if own.list_price is None and price is None:
        raise Problems([Problem(f"channel.{own.name}", own.trouble, "name another channel, or a price")])
    sale = own.list_price if price is None else sale_at(price, own.rules)
    if sale is None:
        raise Problems([Problem(f"channel.{own.name}", own.trouble, "name another channel, or a price")])
    pickup = own.pickup if own.delivers and price is None else None
    card = price_card_bytes(found.priced, own, sale, pickup, known.spending.built, known.picture, known.logo)
    offer = offer_bytes(found.priced, own, sale, known.spending.built)
    made = {f"{found.name} price card.pdf": card, f"{found.name} offer.json": offer}
    return write_all(folder, made, f"sell {found.name}", overwrite=False)
