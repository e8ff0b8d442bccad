"""The price of a job, from its brief: what keeps it from being priced, its rules, the plan, the reserve, the chain, what to warn of."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quoting.costing.model import Cost, cost
from quoting.costing.needs import needed
from quoting.costing.rates import machine_rate, overhead_rate, pay_rate
from quoting.costing.shared import trip_beyond
from quoting.costing.shelf import missing_prices
from quoting.errors import Problem, Problems
from quoting.job.brief import Brief
from quoting.job.job import Job
from quoting.job.rules import reserve_share
from quoting.job.selling import Channel
from quoting.job.shop import Shop
from quoting.measures.showing import said
from quoting.money import exact, minor_digits, step
from quoting.pick import likely
from quoting.pricing import warnings
from quoting.pricing.bench import calendar, pour_cards, pressed_cards
from quoting.pricing.chain import AFTER_SALE, BAD_DEBT, FeeShare, Rules, chain, share
from quoting.pricing.lists import buying, costs_by_group, cuts, quantities
from quoting.pricing.outlook import refuse_clipped
from quoting.pricing.payments import payments
from quoting.pricing.record import Priced, PricedLine, RateShown
from quoting.risk.drawn import drawn, drawn_reserve, seed_and_draws
from quoting.takeoff.delivery import carried_m, channel_of
from quoting.trades import parts


def problems_of(brief: Brief, with_prices: bool = True) -> list[Problem]:
    """Everything that keeps a job from being reckoned, judged at the plan; missing prices on wish."""
    found = parts.problems(brief.job, brief.shop, brief.tables)
    if with_prices:
        broken = {".".join(problem.field.split(".")[:2]) for problem in found}
        rest = needed(without_parts(brief, broken), likely)
        found += missing_prices(rest.needs, brief)
        lone, wanted = "found no line to take the place of", "check the operation and the part"
        found += [
            Problem.of(f"work.{work}.replaces", lone, wanted, "idle") for work in rest.replacing_nothing
        ]
    return brief.placed(list(dict.fromkeys(found)))


def without_parts(brief: Brief, broken: set[str]) -> Brief:
    """The brief without the parts that cannot be reckoned, so that the others still can be looked at."""
    kept = {
        trade: tuple(part for part in those if f"{trade}.{part.id}" not in broken)
        for trade, those in brief.job.parts.items()
    }
    return replace(brief, job=replace(brief.job, parts=kept))


def rules(job: Job, shop: Shop, payments: int, digits: int) -> Rules:
    """The rules of a job's price; the channel names the fees that apply, and may charge a tax rate of its own."""
    pricing, channel = shop.pricing, channel_of(job, shop)
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
        tax_the_trip=shop.tax.tax_the_trip,
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
    asked = job.price.reserve or shop.pricing.reserve
    reserve, clipped = _reserve(brief, asked, planned, digits)
    terms = job.quote.payments or shop.terms.payments
    rule = rules(job, shop, len(terms), digits)
    near = carried_m(job, shop)
    extra = exact(float(trip_beyond(brief, likely)), digits)
    try:
        price = chain(planned + reserve, extra, rule)
        paid = payments(terms, price.net, price.tax, digits)
    except Problems as wrong:
        raise Problems(brief.placed(wrong.problems)) from None
    to_buy = buying(run, brief, day, digits)
    warned = (
        *warnings.part_warnings(brief, run, digits),
        *warnings.price_warnings(brief, price, rule, paid, to_buy),
        *warnings.clipped_warnings(brief, clipped),
    )
    policies = (warnings.BELOW_FLOOR, warnings.BEYOND_FURTHEST, warnings.STALE_PRICE)
    return Priced(
        job=job,
        shop=shop,
        day=day,
        digits=digits,
        quantities=quantities(run, brief, to_buy),
        lines=lines,
        cost=costs_by_group(job, lines, reserve, to_buy, digits),
        reserve_asked=asked,
        rules=rule,
        chain=price,
        payments=tuple(paid),
        buying=tuple(to_buy),
        rates=shown_rates(brief),
        warnings=warned,
        cautions=warnings.cautions(brief, wording, warned),
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


def _printed_lines(run: Cost, system: str, digits: int) -> tuple[PricedLine, ...]:
    return tuple(
        PricedLine(
            line.id, line.group, line.part, line.item, line.stage, float(line.quantity), line.unit, float(line.rate),
            exact(float(line.amount), digits), line.supplied, line.unit, said(line.basis, system), said(line.source, system), line.kind,
        )
        for line in run.lines
    )  # fmt: skip


def _reserve(brief: Brief, asked: str, planned: Decimal, digits: int) -> tuple[Decimal, dict[str, float]]:
    """The reserve: a share of planned cost, or what draws say; with the shares of draws held back."""
    part = reserve_share(asked)
    if part is not None:
        return exact(planned * share(part), digits), {}
    run = drawn(brief, *seed_and_draws(brief))
    refuse_clipped(brief, run.clipped)
    return exact(drawn_reserve(brief, run), digits), dict(run.clipped)


def shown_rates(brief: Brief) -> tuple[RateShown, ...]:
    """Every hour's rate of the shop and how it is built up."""
    shop, system = brief.shop, brief.shop.shop.units
    found = [(f"pay.{who}", pay_rate(pay)) for who, pay in shop.pay.items()]
    found.append(("overhead", overhead_rate(shop.overhead)))
    found += [(f"machine.{name}", machine_rate(machine)) for name, machine in shop.machine.items()]
    return tuple(RateShown(name, rate.per_hour, said(rate.words, system)) for name, rate in found)
