"""Rules between fields of the shop file that no single field can check. Each returns problems by dotted name."""

import re
from collections.abc import Iterable, Iterator

from quoting.errors import Problem, Reading, one_wanted, unknown
from quoting.job.selling import PaymentTerm
from quoting.job.shop import Shop, Standard
from quoting.job.starters import with_defaults
from quoting.job.validate import also_called
from quoting.measures import measure
from quoting.money import minor_digits
from quoting.takeoff.labour import GRIT
from quoting.trades.registry import trades
from quoting.unread import judged

P80 = "P80"
FEWEST_DRAWS, MOST_DRAWS = 200, 1_000_000
PACE = "pace"  # the built-in cause: the shop's [pace] factor
OF_NO_TRADE = ("job", "packing")
"""What standard times may apply to besides trades."""
OF_A_JOB = ("job", "piece", "supplier")
"""What standard times are counted by whatever they apply to: once, by pieces alike, and by suppliers of the job."""
OWNER = "owner"  # a shop without an owner is told once, not wherever the owner works


def reserve_share(asked: str) -> float | None:
    """The share that the asked reserve stands for; None for "P80". Reading for anything else."""
    if asked.strip().upper() == P80:
        return None
    try:
        return measure(asked, "share")
    except Reading as reading:
        raise Reading(reading.found, 'write a share such as "10 %", or "P80"', "not_a_measure") from None


def known(field: str, name: str, names: Iterable[str], what: str) -> Iterator[Problem]:
    """A name must be one of those that are there; the owner's pay is asked for elsewhere, once."""
    there = list(names)
    if name and name not in there and (what, name) != ("pay", OWNER):
        yield unknown(field, name, there, f", no {what} of the shop file")


def shop_rules(shop: Shop) -> list[Problem]:
    """What is wrong in the shop file as a whole, as far as its fields can be read."""
    of_trades = [one.named(one.shop_rules) for one in trades().values() if one.shop_rules]
    rules = (_house, _pay, _machines, _resins, *of_trades, _standards, _pricing, _terms)
    return [found for rule in rules for found in judged(rule(shop))]


def _house(shop: Shop) -> Iterator[Problem]:
    from babel import Locale, UnknownLocaleError

    house = shop.shop
    try:
        minor_digits(house.currency)
    except ValueError as error:
        found, wanted = f"found {error}", 'write an ISO code such as "USD" or "EUR"'
        yield Problem.of("shop.currency", found, wanted, "unknown_name", name=house.currency)
    try:
        Locale.parse(house.locale)
    except (ValueError, UnknownLocaleError):
        found, wanted = f'found "{house.locale}"', 'write a locale such as "en_US" or "de_DE"'
        yield Problem.of("shop.locale", found, wanted, "unknown_name", name=house.locale)
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", house.accent):
        found, wanted = f'found "{house.accent}"', 'write a colour such as "#2f5d50"'
        yield Problem.of("shop.accent", found, wanted, "unreadable", found=house.accent)
    if not 0 < house.week.days <= 7 or not 0 < house.week.hours <= 168:
        found = f"found {house.week.days:g} days and {house.week.hours:g} hours"
        wanted, week = "write up to 7 days and 168 hours, above zero", house.week
        yield Problem.of("shop.week", found, wanted, "out_of_range", days=week.days, hours=week.hours)


def _pay(shop: Shop) -> Iterator[Problem]:
    if OWNER not in shop.pay:
        wanted = "write [pay.owner] with earn_a_year = 60000"
        yield Problem.of("pay.owner", "found nothing", wanted, "missing")
    for who, pay in shop.pay.items():
        if (pay.rate is None) == (pay.earn_a_year is None):
            given = int(pay.rate is not None) + int(pay.earn_a_year is not None)
            found = f"{one_wanted(given)} of rate and earn_a_year"
            yield Problem.of(f"pay.{who}", found, "write one of them", "one_of", given=given)
        if pay.earn_a_year is not None and not pay.sold_hours:
            wanted = "write the hours of a year that jobs pay for, such as 1150"
            yield Problem.of(f"pay.{who}.sold_hours", "found none", wanted, "missing")
    for name in shop.overhead:  # a row may have any name but one that means the hours
        if (meant := also_called("overhead", name)) is not None:
            found = "found the hours among the costs"
            yield Problem.of(f"overhead.{name}", found, f'write "{meant}"', "unknown_field", name=name)
    if shop.overhead.get("sold_hours", 0) <= 0:
        wanted = "write the hours of a year over which overhead is spread"
        yield Problem.of("overhead.sold_hours", "found none", wanted, "missing")


def _machines(shop: Shop) -> Iterator[Problem]:
    for name, machine in shop.machine.items():
        if machine.rate is not None:
            continue
        for field in ("price", "life_hours", "hours_per_year"):
            if not getattr(machine, field):
                yield Problem.of(
                    f"machine.{name}.{field}", "found nothing", f"write {field}, or a rate", "missing"
                )
        if machine.price is not None and machine.resale > machine.price:
            yield Problem.of(
                f"machine.{name}.resale", "found more than the price", "write what it will fetch", "too_large"
            )


def _resins(shop: Shop) -> Iterator[Problem]:
    for name, resin in shop.resin.items():
        for field in ("density", "working_time", "pour_depth", "most_in_one_mix"):
            if getattr(resin, field) <= 0:
                wanted = "write what the data sheet says, above zero"
                yield Problem.of(f"resin.{name}.{field}", "found 0", wanted, "zero")


def _standards(shop: Shop) -> Iterator[Problem]:
    for name, standard in shop.standard.items():
        yield from known(f"standard.{name}.who", standard.who, shop.pay, "pay")
        if standard.grits > 1 and standard.per != GRIT:
            found = f'found grits with per = "{standard.per}"'
            yield Problem.of(
                f"standard.{name}.grits", found, f'write per = "{GRIT}"', "conflict", per=standard.per
            )
        for trade in standard.applies_to:
            yield from known(f"standard.{name}.applies_to", trade, (*trades(), *OF_NO_TRADE), "trade")
        yield from _counted(name, standard)


def _counted(name: str, standard: Standard) -> Iterator[Problem]:
    """An operation must be counted by what a trade gives that it applies to: else it would make no line on any part, unseen. One of the
    starter shop may be switched off so.
    """
    per = standard.per
    if not standard.applies_to and name in with_defaults({})["standard"]:
        return
    if not standard.applies_to:
        wanted = f"write one or more of {', '.join((*trades(), *OF_NO_TRADE))}"
        yield Problem.of(f"standard.{name}.applies_to", "found nothing that it is for", wanted, "missing")
    elif counts_nothing(name, per, standard.applies_to):
        everywhere = any(per in drivers(one) for one in trades())
        found = f"found {per}, by which {'nothing it applies to' if everywhere else 'nothing'} is counted"
        rows = [*_given(standard.applies_to).items(), ("every job", OF_A_JOB)]
        listed = "; ".join(f"{one} gives {', '.join(map(repr, own))}" for one, own in rows if own)
        yield Problem.of(
            f"standard.{name}.per", found, f"write what there is: {listed}", "not_counted", per=per
        )


def counts_nothing(name: str, per: str, applies_to: Iterable[str]) -> bool:
    """True for an operation that no trade counts to which it applies. Trades that reckon it by themselves need no more than that
    some trade counts so.
    """
    given = _given(applies_to)
    counting = [own for one, own in given.items() if name not in trades()[one].reckoned]
    known = counting or map(drivers, trades() if given else ())
    return per not in OF_A_JOB and not any(per in own for own in known)


def _given(applies_to: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """What the trades count that an operation applies to; all of them where it names none that there is."""
    named = [one for one in applies_to if one in trades()]
    return {one: drivers(one) for one in named or (() if set(applies_to) & set(OF_NO_TRADE) else trades())}


def drivers(trade: str) -> tuple[str, ...]:
    """What standard times of a trade may be counted by: its drivers, and grits on each m2 of its faces."""
    own = trades()[trade].drivers
    return (*own, GRIT) if "m2" in own else own


def draws_rule(field: str, draws: int | None) -> Iterator[Problem]:
    """Fewer draws tell nothing of 1 build in 10, more fill the memory."""
    if draws is not None and not FEWEST_DRAWS <= draws <= MOST_DRAWS:
        least, most = FEWEST_DRAWS, MOST_DRAWS
        words = f"found {draws}", f"write {least} to {most}"
        yield Problem.of(field, *words, "out_of_range", found=draws, least=least, most=most)


def _pricing(shop: Shop) -> Iterator[Problem]:
    yield from draws_rule("risk.draws", shop.risk.draws)
    yield from known("pricing.channel", shop.pricing.channel, shop.channel, "channel")
    for name, channel in shop.channel.items():
        yield from packing_rule(f"channel.{name}.packing", channel.packing, shop)
        if len(set(channel.fees)) < len(channel.fees):
            yield Problem.of(f"channel.{name}.fees", "found a fee twice", "write each fee once", "twice")
        for fee in channel.fees:
            yield from known(f"channel.{name}.fees", fee, shop.fee, "fee")
    yield from known("delivery.who", shop.delivery.who, shop.pay, "pay")
    yield from packing_rule("delivery.packing", shop.delivery.packing, shop)
    yield from reserve_rule("pricing.reserve", shop.pricing.reserve)
    if shop.pricing.round_to <= 0:
        wanted = "write the smallest step of a price, such as 5 or 0.01"
        yield Problem.of("pricing.round_to", "found 0", wanted, "zero")
    if shop.delivery.speed.low <= 0:
        yield Problem.of("delivery.speed", "found 0", 'write a speed such as "30 mph"', "zero")
    if shop.delivery.furthest < shop.delivery.free_distance:
        wanted = "write a distance beyond free_distance"
        yield Problem.of("delivery.furthest", "found less than free_distance", wanted, "too_small")


def _terms(shop: Shop) -> Iterator[Problem]:
    yield from payment_rules("terms.payments", shop.terms.payments)


def reserve_rule(field: str, asked: str) -> Iterator[Problem]:
    """A reserve is a share, or what draws say."""
    try:
        reserve_share(asked)
    except Reading as reading:
        yield reading.problem(field)


def packing_rule(field: str, packing: str, shop: Shop) -> Iterator[Problem]:
    """A way of packing is a standard operation that applies to packing."""
    ways = [name for name, standard in shop.standard.items() if "packing" in standard.applies_to]
    yield from known(field, packing, ways, "packing")


def payment_rules(field: str, terms: tuple[PaymentTerm, ...]) -> Iterator[Problem]:
    """Payments are shares that sum to the whole, after amounts."""
    if not terms:
        wanted = 'write at least one, such as { name = "Balance", share = "100 %" }'
        yield Problem.of(field, "found an empty list", wanted, "empty")
    for one in terms:
        if (one.share is None) == (one.amount is None):
            found = f'found both or neither of share and amount in "{one.name}"'
            yield Problem.of(field, found, "write one of them", "one_of", name=one.name)
    shares = [one.share for one in terms if one.share is not None]
    if shares and abs(sum(shares) - 1) > 1e-9:
        found = f"found shares of {sum(shares):.4g} in all"
        yield Problem.of(field, found, "write shares that sum to 100 %", "sum", sum=sum(shares))
    if terms and not shares:
        wanted = 'write the last one as share = "100 %" of what is left'
        yield Problem.of(field, "found amounts only", wanted, "sum")
