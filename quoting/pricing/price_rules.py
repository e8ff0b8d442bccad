"""What the shop and the job rule about a price, and what keeps a job from being priced."""

from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from quoting.costing.needs import needed
from quoting.costing.shelf import missing_prices
from quoting.errors import Problem
from quoting.job.brief import Brief
from quoting.job.job import Job
from quoting.job.selling import Channel
from quoting.job.shop import Shop
from quoting.money import step
from quoting.pick import likely
from quoting.takeoff.delivery import channel_of
from quoting.trades import parts

AFTER_SALE, BAD_DEBT = "kept for mending and returns", "kept for bad debt"
SET_ASIDE = (AFTER_SALE, BAD_DEBT)
"""Shares of a price that the shop keeps for what may come: they go off the margin, but to nobody else."""


class FeeShare(NamedTuple):
    """A fee of this sale: a share of net or total, and a fixed amount for all its payments."""

    name: str
    share: Decimal
    fixed: Decimal
    on: str


class Rules(NamedTuple):
    """What the shop and the job rule about the price. Shares are of the net price, unless `on` total."""

    margin: Decimal
    floor: Decimal
    tax: Decimal
    included: bool
    tax_on_delivery: bool
    fees: tuple[FeeShare, ...]
    discount_share: Decimal
    discount_amount: Decimal
    rush: Decimal
    least_price: Decimal
    round_to: Decimal
    digits: int


def share(value: float) -> Decimal:
    """A share of the shop file as an exact number."""
    return Decimal(repr(float(value)))


def rules(job: Job, shop: Shop, payments: int, digits: int) -> Rules:
    """The rules of a job's price; the channel names the fees that apply."""
    pricing = shop.pricing
    channel = channel_of(job, shop)
    aside = ((AFTER_SALE, pricing.after_sale), (BAD_DEBT, pricing.bad_debt))
    fees = [FeeShare(name, share(part), Decimal(0), "net") for name, part in aside]
    for name in channel.fees:
        fee = shop.fee[name]
        times = payments if fee.per == "payment" else 1
        fees.append(FeeShare(name, share(fee.share), share(fee.fixed) * times, fee.on))
    discount = job.price.discount
    return Rules(
        margin=share(pricing.margin if job.price.margin is None else job.price.margin),
        floor=share(pricing.floor_margin),
        tax=_tax_rate(shop, channel),
        included=shop.tax.shown == "included",
        tax_on_delivery=shop.tax.on_delivery,
        fees=tuple(fees),
        discount_share=share(discount.share) if discount else Decimal(0),
        discount_amount=share(discount.amount) if discount else Decimal(0),
        rush=share(pricing.rush) if job.price.rush else Decimal(0),
        least_price=share(pricing.least_price),
        round_to=max(share(pricing.round_to), step(digits)),
        digits=digits,
    )


def _tax_rate(shop: Shop, channel: Channel) -> Decimal:
    """The rate of the channel where it charges one of its own; else that of the shop, where it is registered."""
    if channel.tax is not None:
        return share(channel.tax)
    return share(shop.tax.rate) if shop.tax.registered else Decimal(0)


def problems_of(brief: Brief, with_prices: bool = True) -> list[Problem]:
    """Everything that keeps a job from being reckoned, judged at the plan; missing prices on wish."""
    found = parts.problems(brief.job, brief.shop, brief.tables)
    if with_prices:
        broken = {".".join(problem.field.split(".")[:2]) for problem in found}
        rest = needed(_without(brief, broken), likely)
        found += missing_prices(rest.needs, brief)
        lone, wanted = "found no line to take the place of", "check the operation and the part"
        found += [Problem(f"work.{work}.replaces", lone, wanted) for work in rest.replacing_nothing]
    return brief.placed(list(dict.fromkeys(found)))


def _without(brief: Brief, broken: set[str]) -> Brief:
    """The brief without the parts that cannot be reckoned, so that the others still can be looked at."""
    kept = {
        trade: tuple(part for part in those if f"{trade}.{part.id}" not in broken)
        for trade, those in brief.job.parts.items()
    }
    return replace(brief, job=replace(brief.job, parts=kept))
