"""The price of a finished or planned piece, from its job or from the ledger, through every channel."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.costing.shared import trip_beyond
from quoting.errors import Problem, Problems, Reading, refuse, refused, unknown
from quoting.job.brief import Brief
from quoting.job.files import Given, called
from quoting.job.load import load_shop
from quoting.job.starters import wording
from quoting.ledger import frozen, quotes
from quoting.ledger.states import BOUND
from quoting.ledger.store import reading
from quoting.logbook.in_hand import spending_of
from quoting.logbook.piece import Piece, contract_of, piece_of
from quoting.measures import measure
from quoting.money import exact
from quoting.pick import likely
from quoting.pricing.channels import Selling, bare_cost, own_cost, planned_base, selling
from quoting.pricing.record import Priced
from quoting.pricing.sale import Outcome, Spending, outcome, planned_spending, sale_at
from quoting.runs.as_quoted import brief_of
from quoting.runs.finding import names_a_quote
from quoting.runs.pricing import check, priced_alone
from quoting.runs.seen import Settings
from quoting.runs.shops import shop_folder_here, typed
from quoting.written import write_all

SELLING_RULES = ("pricing", "fee", "channel", "delivery", "tax", "overhead")
"""Sections of the shop file that rule a sale made today, whatever they were when the piece was quoted."""


class ForSale(NamedTuple):
    """A piece to be sold, from its job or from the ledger.

    `agreed` is the price that somebody owes for it, as the shop shows prices; `gone` is true where it is not for sale any
    more. `origin` says whose papers its card and offer are.
    """

    name: str
    state: str
    brief: Brief
    priced: Priced
    spending: Spending
    picture: bytes | None
    logo: bytes | None
    origin: str
    agreed: Decimal | None = None
    gone: bool = False


def of_job(job: Given, shop: Path | None, today: date, settings: Settings) -> ForSale:
    """A planned piece: nothing is spent yet, the reserve counts."""
    checked = check(job, shop, today, settings, with_options=False)
    priced = priced_alone(checked)
    brief, pictures, (name, origin) = checked.brief, (checked.picture, checked.logo), called(job)
    spending = planned_spending(priced, planned_base(brief, priced), bare_cost(brief))
    return ForSale(name, "planned", brief, priced, spending, *pictures, origin)


def of_number(name: str, folder: Path, settings: Settings) -> ForSale:
    """A piece of the ledger of a shop folder, sold by the rules of today."""
    if settings:
        stands = "found an issued quote, which stands as it is"
        raise refused(Advice("settings"), stands, "name the job file", code="conflict")
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, name))
        today = load_shop(folder).shop
        kept = frozen.kept(book, "quote_file", piece.quote.id, frozen.SOURCE)
        brief = brief_of(book, piece, folder)
    problems: list[Problem] = []
    words = wording(folder, problems)
    refuse(problems)
    delivery = own_cost(brief) + float(trip_beyond(brief, likely)) - bare_cost(brief)
    ruled = replace(
        brief.shop,
        pay={**brief.shop.pay, **today.pay},
        standard={**brief.shop.standard, **today.standard},
        **{section: getattr(today, section) for section in SELLING_RULES},
    )
    channel = brief.job.price.channel
    if channel not in today.channel:
        brief = replace(brief, job=replace(brief.job, price=replace(brief.job.price, channel="")))
    return ForSale(
        str(piece.number),
        piece.standing.words,
        replace(brief, shop=ruled),
        replace(piece.plan, shop=ruled, wording=words),
        spending_of(piece, delivery),
        kept.get("picture"),
        kept.get("logo"),
        f"{folder.resolve()} {piece.number}",
        _agreed(piece),
        piece.standing.deal in BOUND or piece.standing.delivered,
    )


def _agreed(piece: Piece) -> Decimal | None:
    """What somebody owes for it, as the shop shows prices; None where nobody does."""
    contract = contract_of(piece)
    if not contract.firm or not contract.net:
        return None
    return contract.total if piece.sold.rules.included else contract.net


class Found(NamedTuple):
    """What a piece brings through every channel, and at the prices asked about.

    `own` is the channel that the plain figures speak of; `expected` are outcomes at what the maker expects it to fetch.
    """

    piece: ForSale
    own: Selling
    channels: tuple[Selling, ...]
    asked: Outcome | None
    expected: tuple[Outcome, ...]
    written: list[Path]


def sell(
    piece: Given,
    shop: Path | None,
    today: date,
    here: Path,
    settings: Settings,
    price: str,
    channel: str,
    out: Path | None,
    overwrite: bool,
) -> Found:
    """Price a piece for sale. `piece` is a job, or the number of an issued quote whose ledger tells what it took: that of the
    shop named, or of `here`. `price` and `channel` are asked about, and what card and offer say that are written into `out`; "" for those of the job.
    """
    if isinstance(piece, str) and names_a_quote(piece):
        offered = of_number(piece, shop_folder_here(shop, here), settings)
    else:
        offered = of_job(piece, shop, today, settings)
    brief, digits = offered.brief, offered.priced.digits
    name = channel or brief.job.price.channel or brief.shop.pricing.channel
    if name not in brief.shop.channel:
        raise Problems([unknown(argument("channel"), name, brief.shop.channel)])
    channels = {one: selling(brief, one, offered.spending.base, digits) for one in brief.shop.channel}
    own = channels[name]

    def sold_at(price: Decimal) -> Outcome:
        return outcome(sale_at(price, own.rules), offered.spending, own.cost)

    asked = _price(price, digits)
    at = offered.agreed if asked is None else asked
    span = brief.job.price.expected
    ends = () if span is None else dict.fromkeys(exact(end, digits) for end in (span.low, span.high))
    written = [] if out is None else write_all(out, _papers(offered, own, asked), offered.origin, overwrite)
    outcomes = None if at is None else sold_at(at), tuple(sold_at(end) for end in ends)
    return Found(offered, own, tuple(channels.values()), *outcomes, written)


def _price(text: str, digits: int) -> Decimal | None:
    if not text:
        return None
    with typed("price"):
        price = exact(measure(text, "money"), digits)
        if not price:
            raise Reading(f'found "{text}"', "write a price above zero", "not_a_number", found=text)
    return price


def _papers(piece: ForSale, own: Selling, price: Decimal | None) -> dict[str, bytes]:
    """The price card and the offer record, at the price asked about or the list price of the channel."""
    from quoting.documents.open_forms import offer_bytes
    from quoting.documents.quote.pdf import price_card_bytes

    if piece.gone:
        wanted = Advice("write_no_papers")
        found = f'{piece.name} is "{piece.state}"'
        raise refused(argument("out"), found, wanted, code="state", number=piece.name, state=piece.state)
    sale = own.list_price if price is None else sale_at(price, own.rules)
    if sale is None:
        raise refused(
            f"channel.{own.name}", own.trouble, "name another channel, or a price", code="impossible"
        )
    pickup = own.pickup if own.delivers and price is None else None
    built = piece.spending.built
    card = price_card_bytes(piece.priced, own, sale, pickup, built, piece.picture, piece.logo)
    offer = offer_bytes(piece.priced, own, sale, built)
    return {f"{piece.name} price card.pdf": card, f"{piece.name} offer.json": offer}
