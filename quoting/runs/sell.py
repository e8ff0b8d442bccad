"""The price of a finished or planned piece: from its cost, as it was where the ledger knows it, through every channel."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems, Reading, nearest
from quoting.ledger.quotes import number
from quoting.measures import measure
from quoting.money import exact
from quoting.pricing.channels import selling
from quoting.pricing.sale import outcome, sale_at
from quoting.runs.sell_known import Known, of_job, of_number
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from quoting.job.brief import Brief
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Outcome, Spending


class Asked(NamedTuple):
    """What the maker asks beside the piece: a price, the channel of card and offer, and where these are written."""

    price: str = ""
    channel: str = ""
    out: Path | None = None
    overwrite: bool = False


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


def sell(piece: str, shop: Path | None, settings: Sequence[str], asked: Asked) -> Found:
    """Price a piece for sale. `piece` is a job file, or the number of an issued quote whose ledger tells what it took."""
    known = of_number(piece, shop, settings) if _is_number(piece) else of_job(Path(piece), shop, settings)
    own = asked.channel or known.brief.job.price.channel or known.brief.shop.pricing.channel
    if own not in known.brief.shop.channel:
        raise Problems([Problem("--channel", f'found "{own}"', nearest(own, known.brief.shop.channel))])
    digits = known.priced.digits
    channels = tuple(
        selling(known.brief, name, known.spending.base, digits) for name in known.brief.shop.channel
    )
    found = Found(known.name, known.state, known.priced, known.spending, own, channels, None, (), [])
    price = _price(asked.price, digits)
    at = known.agreed if price is None else price
    found = found._replace(
        asked=None if at is None else _at(found, at),
        expected=tuple(_at(found, amount) for amount in _expected(known.brief, digits)),
    )
    if asked.out is None:
        return found
    return found._replace(written=_write(asked.out, asked, found, known, price))


def _is_number(text: str) -> bool:
    if Path(text).exists():
        return False
    try:
        number(text)
    except Reading:
        return False
    return True


def _price(text: str, digits: int) -> Decimal | None:
    if not text:
        return None
    try:
        price = exact(measure(text, "money"), digits)
    except Reading as wrong:
        raise Problems([Problem("--price", wrong.found, wrong.write)]) from None
    if not price:
        raise Problems([Problem("--price", f'found "{text}"', "write a price above zero")])
    return price


def _expected(brief: Brief, digits: int) -> list[Decimal]:
    """What the maker expects the piece to fetch: low, and high where they differ."""
    span = brief.job.price.expected
    ends = () if span is None else (span.low, span.high)
    return list(dict.fromkeys(exact(end, digits) for end in ends))


def _at(found: Found, price: Decimal) -> Outcome:
    own = found.own
    return outcome(sale_at(price, own.rules), found.spending, own.cost)


def _write(folder: Path, asked: Asked, found: Found, known: Known, price: Decimal | None) -> list[Path]:
    """The price card and the offer record, at the price asked about or the list price of the channel."""
    from quoting.documents.open_forms.offer import offer_bytes
    from quoting.documents.quote.cards import price_card_bytes

    own = found.own
    if known.gone:
        raise Problems(
            [Problem("--out", f'{found.name} is "{found.state}"', "leave --out away: it is not for sale")]
        )
    sale = own.list_price if price is None else sale_at(price, own.rules)
    if sale is None:
        raise Problems([Problem(f"channel.{own.name}", own.trouble, "name another channel, or a price")])
    pickup = own.pickup if own.delivers and price is None else None
    card = price_card_bytes(found.priced, own, sale, pickup, known.spending.built, known.picture, known.logo)
    offer = offer_bytes(found.priced, own, sale, known.spending.built)
    made = {f"{found.name} price card.pdf": card, f"{found.name} offer.json": offer}
    return write_all(folder, made, known.origin, asked.overwrite)
