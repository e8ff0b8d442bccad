"""What is known of a piece that is to be sold: from its job, or from the ledger."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.shared import trip_beyond
from quoting.errors import Problem, Problems
from quoting.job.load import load_shop
from quoting.job.wording import wording
from quoting.ledger import frozen as files
from quoting.ledger import quotes
from quoting.ledger.states import BOUND
from quoting.ledger.store import reading
from quoting.logbook.in_hand import spending_of
from quoting.logbook.piece import contract_of, piece_of
from quoting.pick import likely
from quoting.pricing.channels import bare_cost, own_cost, planned_base
from quoting.pricing.sale import planned_spending
from quoting.runs.as_quoted import brief_of
from quoting.runs.pricing import check, priced_alone
from quoting.runs.shops import shop_folder_here

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal
    from pathlib import Path

    from quoting.job.brief import Brief
    from quoting.logbook.piece import Piece
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Spending

SELLING_RULES = ("pricing", "fee", "channel", "delivery", "tax", "overhead")
"""Sections of the shop file that rule a sale made today, whatever they were when the piece was quoted."""


class Known(NamedTuple):
    """What is known of a piece, from its job or from the ledger.

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


def of_job(job: Path, shop: Path | None, settings: Sequence[str]) -> Known:
    """A planned piece: nothing is spent yet, the reserve counts."""
    checked = check(job, shop, settings)
    priced = priced_alone(checked)
    spending = planned_spending(priced, planned_base(checked.brief, priced), bare_cost(checked.brief))
    origin = str(job.resolve())
    return Known(job.stem, "planned", checked.brief, priced, spending, checked.picture, checked.logo, origin)


def of_number(name: str, shop: Path | None, settings: Sequence[str]) -> Known:
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
        brief = brief_of(book, piece, folder)
    problems: list[Problem] = []
    words = wording(folder, problems)
    if problems:
        raise Problems(problems)
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
    return Known(
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
