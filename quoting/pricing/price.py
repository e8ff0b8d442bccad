"""The price of a job, from its brief: the plan, the reserve, the chain, and what to tell about them."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import numpy as np

from quoting.costing.model import Cost, cost
from quoting.costing.rates import machine_rate, overhead_rate, pay_rate
from quoting.costing.shared import trip_beyond
from quoting.errors import Problem, Problems
from quoting.job.brief import Brief
from quoting.job.rules import reserve_share
from quoting.measures.showing import said
from quoting.money import exact, minor_digits
from quoting.pick import likely, listening, one_at_a_time
from quoting.pricing import lists as buying_list
from quoting.pricing import warnings
from quoting.pricing.bench import calendar, pour_cards, pressed_cards
from quoting.pricing.chain import chain, payments
from quoting.pricing.lists import costs_by_group, cuts, quantities
from quoting.pricing.price_rules import rules
from quoting.pricing.record import Priced, PricedLine, RateShown, Unsure, Warned
from quoting.pricing.warnings import heat_cautions
from quoting.risk.drawn import drawn, drawn_reserve, seed_and_draws
from quoting.takeoff.delivery import carried_m
from quoting.values import Uncertain

NO_PLAN = "no_plan"
"""The name of the caution that stands below the others."""


def priced(
    brief: Brief, day: date, wording: Mapping[str, Mapping[str, str]], starter: Mapping[str, int]
) -> Priced:
    """Price a job. `day` is today; a job that names its date is priced for that day.

    The brief must have no problems (`problems_of`). Raises Problems where margin and fees leave nothing for the
    cost, or where draws fall beyond a bound too often.
    """
    job, shop = brief.job, brief.shop
    day = job.quote.date or day
    digits = minor_digits(shop.shop.currency)
    run = cost(brief, likely)
    lines = _printed_lines(run, shop.shop.units, digits)
    planned = sum((line.amount for line in lines), Decimal(0))
    contingency = job.price.contingency or shop.pricing.contingency
    reserve, clipped = _reserve(brief, contingency, planned, digits)
    stages = job.quote.stages or shop.terms.stages
    rule = rules(job, shop, len(stages), digits)
    near = carried_m(job, shop)
    extra = exact(float(trip_beyond(brief, likely)), digits)
    try:
        price = chain(planned + reserve, extra, rule)
        paid = payments(stages, price.net, price.tax, digits)
    except Problems as wrong:
        raise Problems(brief.placed(wrong.problems)) from None
    to_buy = buying_list.buying(run, brief, day, digits)
    warned = (
        *warnings.part_warnings(brief, run, digits),
        *warnings.price_warnings(brief, price, rule, paid, to_buy),
        *warnings.clipped_warnings(clipped),
    )
    policies = (warnings.BELOW_FLOOR, warnings.BEYOND_FURTHEST, warnings.STALE_PRICE)
    return Priced(
        job=job,
        shop=shop,
        day=day,
        digits=digits,
        quantities=quantities(run, brief, to_buy),
        lines=lines,
        cost=costs_by_group(job, lines, planned, reserve, to_buy, digits),
        contingency=contingency,
        rules=rule,
        chain=price,
        payments=tuple(paid),
        buying=tuple(to_buy),
        rates=shown_rates(brief),
        warnings=warned,
        cautions=_cautions(brief, wording, warned),
        policies_broken=tuple(code for code in policies if code in {one.code for one in warned}),
        starter_values=starter,
        wording=wording,
        sha256={source.name: source.sha256 for source in brief.sources},
        carried_m=None if near is None else float(near),
        cuts=tuple(cuts(brief)),
        bench=tuple(pressed_cards(brief)),
        pours=tuple(pour_cards(brief)),
        calendar=calendar(run, brief, to_buy),
        plans=brief.plans,
    )


def _cautions(
    brief: Brief, wording: Mapping[str, Mapping[str, str]], warned: tuple[Warned, ...]
) -> tuple[tuple[str, str], ...]:
    """What the maker is reminded of: the usual cautions, what the shop notes about its resins, and what decides in the end."""
    words = wording["caution"]
    found = [(name, words[name]) for name in warnings.caution_keys(brief, warned)]
    told = (*found, *heat_cautions(brief, words))
    return (*told, (NO_PLAN, words[NO_PLAN])) if told else ()


def _printed_lines(run: Cost, system: str, digits: int) -> tuple[PricedLine, ...]:
    return tuple(
        PricedLine(
            line.id, line.group, line.part, line.item, line.stage, float(line.quantity), line.unit, float(line.rate),
            exact(float(line.amount), digits), line.supplied, line.unit, said(line.basis, system), said(line.source, system), line.kind,
        )
        for line in run.lines
    )  # fmt: skip


def _reserve(
    brief: Brief, contingency: str, planned: Decimal, digits: int
) -> tuple[Decimal, dict[str, float]]:
    """The reserve: a share of planned cost, or what draws say; with the shares of draws held back."""
    share = reserve_share(contingency)
    if share is not None:
        return exact(planned * Decimal(repr(share)), digits), {}
    run = drawn(brief, *seed_and_draws(brief))
    refuse_clipped(brief, run.clipped)
    return exact(drawn_reserve(brief, run), digits), dict(run.clipped)


def refuse_clipped(brief: Brief, clipped: Mapping[str, float]) -> None:
    """Raises Problems where a bound held back more draws than the shop allows: they tell nothing then."""
    worst = max(clipped.items(), key=lambda one: one[1], default=None)
    limit = brief.shop.warnings.clipped_share
    if worst is not None and worst[1] > limit:
        name, _, what = worst[0].partition(": ")
        words = f"found {what} in {worst[1]:.1%} of draws (limit {limit:.1%})"
        raise Problems(brief.placed([Problem(name, words, "write narrower ranges, or change the part")]))


def shown_rates(brief: Brief) -> tuple[RateShown, ...]:
    """Every hour's rate of the shop and how it is built up."""
    shop, system = brief.shop, brief.shop.shop.units
    found = [(f"pay.{who}", pay_rate(pay)) for who, pay in shop.pay.items()]
    found.append(("overhead", overhead_rate(shop.overhead)))
    found += [(f"machine.{name}", machine_rate(machine)) for name, machine in shop.machine.items()]
    return tuple(RateShown(name, rate.per_hour, said(rate.words, system)) for name, rate in found)


def unsure(brief: Brief, beyond: bool = False) -> tuple[Unsure, ...]:
    """Uncertain inputs of a job, those that move its cost most first: one run moves each by itself.

    The planned cost; with `beyond`, also that of the trip which a surcharge pays for.
    """
    heard: dict[str, Uncertain] = {}
    cost(brief, listening(likely, heard))
    inputs = list(heard.values())
    if not inputs:
        return ()
    pick = one_at_a_time(inputs)
    extra = trip_beyond(brief, pick) if beyond else 0.0
    moved = np.broadcast_to(cost(brief, pick).planned + extra, (2 * len(inputs),))
    found = [
        Unsure(given.name, brief.written(given.name), float(moved[2 * i]), float(moved[2 * i + 1]))
        for i, given in enumerate(inputs)
    ]
    return tuple(sorted(found, key=lambda one: -abs(one.at_high - one.at_low)))
