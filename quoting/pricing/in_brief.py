"""The answer to a job in brief: what it brings, what its hours earn, when it is ready, where the price goes, what moves its cost."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from typing import NamedTuple

from quoting.job.rules import OWNER
from quoting.pricing.record import Priced, PricedLine, Warned
from quoting.pricing.sale import an_hour, is_own_hours, planned_cash
from quoting.pricing.warnings import NO_PLAN, RESIN_HEAT
from quoting.takeoff.labour import OFFICE

OFFICE_SETTING = "shop.office_time"
"""Charges office hours to jobs, or leaves them to the overhead."""


class Share(NamedTuple):
    """Where a part of the price before tax goes [money], and how many whole per cents of it; the setting of the shop that moves it, if one does."""

    name: str
    amount: Decimal
    per_cent: int
    setting: str = ""


class Move(NamedTuple):
    """An uncertain input by its path, its range in words, and what the cost moves by at its low and at its high [money]."""

    name: str
    words: str
    at_low: float
    at_high: float


class InBrief(NamedTuple):
    """What a maker asks of a price first [money, h].

    `an_hour` is what each of the own hours earns, all else paid; `cash` what goes to others; `ready` the day by which the
    piece is, ordered on the day it is priced for. `shares` sum to `net`, the largest first, and their per cents to 100.
    `warnings` tell broken limits first; `cautions` are the names of the usual ones that the job calls for.
    """

    total: Decimal
    net: Decimal
    margin: Decimal
    floor: Decimal
    own_hours: float
    an_hour: float | None
    cash: Decimal
    ready: date | None
    shares: tuple[Share, ...]
    moves: tuple[Move, ...]
    warnings: tuple[Warned, ...]
    cautions: tuple[str, ...]


def in_brief(priced: Priced) -> InBrief:
    """The answer to a priced job."""
    chain = priced.chain
    own = [line for line in priced.lines if is_own_hours(line)]
    hours, pay = sum(line.quantity for line in own), sum(float(line.amount) for line in own)
    left = chain.net - chain.fee_total - chain.spent
    ends = [step.last_day(priced.day) for step in priced.calendar if step.kind == "ready"]
    plan = float(priced.cost["planned"])
    usual = priced.wording["caution"].keys() - {NO_PLAN, RESIN_HEAT}
    return InBrief(
        total=chain.total,
        net=chain.net,
        margin=chain.margin,
        floor=priced.rules.floor,
        own_hours=hours,
        an_hour=an_hour(float(left), pay, hours),
        cash=planned_cash(priced),
        ready=ends[-1] if ends else None,
        shares=_shares(priced, left),
        moves=tuple(
            Move(one.name, one.words, one.at_low - plan, one.at_high - plan) for one in priced.unsure
        ),
        warnings=tuple(sorted(priced.warnings, key=lambda one: one.code not in priced.policies_broken)),
        cautions=tuple(name for name, _ in priced.cautions if name in usual),
    )


def _shares(priced: Priced, left: Decimal) -> tuple[Share, ...]:
    """Where the price before tax goes, the largest share first; nothing that takes nothing."""
    chain, cost = priced.chain, priced.cost
    labour = [line for line in priced.lines if line.trade == "labour"]
    office = [line for line in labour if line.stage == OFFICE]
    bench = [line for line in labour if line.stage != OFFICE]
    people = {
        "your bench hours": _sum(line for line in bench if line.item == OWNER),
        "helpers' hours": _sum(line for line in bench if line.item != OWNER),
        "office hours": _sum(office),
    }
    others = {
        "overhead": cost["overhead"],
        "reserve and setbacks": cost["reserve"] + cost["setback"],
        "delivery": cost["delivery_carried"] + chain.delivery_extra,
        "fees": chain.fee_total + cost["channel"],
    }
    named = {**people, "margin": left, **others}
    named["material, machines, outside"] = chain.net - sum(named.values())
    per_cents = whole_per_cents(list(named.values()), chain.net)
    settings = {"office hours": OFFICE_SETTING}
    rows = (
        Share(name, amount, per_cent, settings.get(name, ""))
        for (name, amount), per_cent in zip(named.items(), per_cents, strict=True)
        if amount
    )
    return tuple(sorted(rows, key=lambda row: -row.amount))


def _sum(lines: Iterable[PricedLine]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))


def whole_per_cents(amounts: Sequence[Decimal], whole: Decimal) -> list[int]:
    """Whole per cents of `whole` that sum to 100 where the amounts sum to it: largest remainder.

    Each is floored, and those left over go to the largest remainders: so each is less than one off. All nothing where there is no whole.
    """
    if not whole:
        return [0] * len(amounts)
    exact = [amount * 100 / whole for amount in amounts]
    floors = [int(one.to_integral_value(ROUND_FLOOR)) for one in exact]
    most = sorted(range(len(exact)), key=lambda i: floors[i] - exact[i])
    spare = round(sum(exact)) - sum(floors)
    return [floor + (i in most[:spare]) for i, floor in enumerate(floors)]
