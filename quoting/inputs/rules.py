"""Rules between fields that no single field can check. Each returns problems by dotted name."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from quoting.errors import Problem, Reading, nearest, one_wanted
from quoting.inputs.job import TRADES
from quoting.inputs.naming import cause_names
from quoting.measures import measure
from quoting.money import minor_digits

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.job import Job
    from quoting.inputs.selling import Stage
    from quoting.inputs.shop import Shop

P80 = "P80"
PACE = "pace"  # the built-in cause: the shop's [pace] factor
OWN_RECKONING = ("laying_sheets", "laying_roll", "mixing")  # laminates count these round by round
APPLIES_TO = (*TRADES, "job", "packing")
OWNER = "owner"  # a shop without an owner is told once, not wherever the owner works


def reserve_share(contingency: str) -> float | None:
    """The share that a contingency text stands for; None for "P80". Reading for anything else."""
    if contingency.strip().upper() == P80:
        return None
    try:
        return measure(contingency, "share")
    except Reading as reading:
        raise Reading(reading.found, 'write a share such as "10 %", or "P80"') from None


def _known(field: str, name: str, names: object, what: str) -> Iterator[Problem]:
    known = list(names)  # type: ignore[call-overload]
    if name and name not in known and (what, name) != ("pay", OWNER):
        yield Problem(field, f'found "{name}", no {what} of the shop file', nearest(name, known))


def shop_rules(shop: Shop) -> list[Problem]:
    """What is wrong in the shop file as a whole."""
    return [*_house(shop), *_pay(shop), *_machines(shop), *_resins(shop), *_standards(shop), *_pricing(shop)]


def _house(shop: Shop) -> Iterator[Problem]:
    from babel import Locale, UnknownLocaleError

    house = shop.shop
    try:
        minor_digits(house.currency)
    except ValueError as error:
        yield Problem("shop.currency", f"found {error}", 'write an ISO code such as "USD" or "EUR"')
    try:
        Locale.parse(house.locale)
    except (ValueError, UnknownLocaleError):
        yield Problem("shop.locale", f'found "{house.locale}"', 'write a locale such as "en_US" or "de_DE"')
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", house.accent):
        yield Problem("shop.accent", f'found "{house.accent}"', 'write a colour such as "#2f5d50"')
    if not 0 < house.week.days <= 7 or not 0 < house.week.hours <= 168:
        yield Problem(
            "shop.week",
            f"found {house.week.days:g} days and {house.week.hours:g} hours",
            "write up to 7 days and 168 hours, above zero",
        )


def _pay(shop: Shop) -> Iterator[Problem]:
    if "owner" not in shop.pay:
        yield Problem("pay.owner", "found nothing", "write [pay.owner] with wanted_income = 60000")
    for who, pay in shop.pay.items():
        if (pay.rate is None) == (pay.wanted_income is None):
            given = int(pay.rate is not None) + int(pay.wanted_income is not None)
            yield Problem(f"pay.{who}", f"{one_wanted(given)} of rate and wanted_income", "write one of them")
        if pay.wanted_income is not None and not pay.paid_hours:
            yield Problem(
                f"pay.{who}.paid_hours", "found none", "write the paid hours of a year, such as 1150"
            )
    if shop.overhead.get("billable_hours", 0) <= 0:
        yield Problem(
            "overhead.billable_hours", "found none", "write the hours of a year over which overhead is spread"
        )


def _machines(shop: Shop) -> Iterator[Problem]:
    for name, machine in shop.machine.items():
        if machine.rate is not None:
            continue
        for field in ("price", "life_hours", "hours_per_year"):
            if not getattr(machine, field):
                yield Problem(f"machine.{name}.{field}", "found nothing", f"write {field}, or a rate")
        if machine.price is not None and machine.resale > machine.price:
            yield Problem(f"machine.{name}.resale", "found more than the price", "write what it will fetch")


def _resins(shop: Shop) -> Iterator[Problem]:
    for name, resin in shop.resin.items():
        for field in ("density", "working_time", "pour_depth", "most_in_one_mix"):
            if getattr(resin, field) <= 0:
                yield Problem(
                    f"resin.{name}.{field}", "found 0", "write what the data sheet says, above zero"
                )


def _standards(shop: Shop) -> Iterator[Problem]:
    for name, standard in shop.standard.items():
        yield from _known(f"standard.{name}.who", standard.who, shop.pay, "pay")
        if standard.grits > 1 and standard.per != "m2 grit":
            yield Problem(
                f"standard.{name}.grits", f'found grits with per = "{standard.per}"', 'write per = "m2 grit"'
            )
        if name in OWN_RECKONING and standard.setup is not None:
            yield Problem(f"standard.{name}.setup", "found a set-up", "write it as bag_setup of [laminate]")
        for trade in standard.applies_to:
            yield from _known(f"standard.{name}.applies_to", trade, APPLIES_TO, "trade")


def _pricing(shop: Shop) -> Iterator[Problem]:
    yield from _known("pricing.channel", shop.pricing.channel, shop.channel, "channel")
    for name, channel in shop.channel.items():
        yield from _packing(f"channel.{name}.packing", channel.packing, shop)
        if len(set(channel.fees)) < len(channel.fees):
            yield Problem(f"channel.{name}.fees", "found a fee twice", "write each fee once")
        for fee in channel.fees:
            yield from _known(f"channel.{name}.fees", fee, shop.fee, "fee")
    yield from _known("delivery.who", shop.delivery.who, shop.pay, "pay")
    yield from _packing("delivery.packing", shop.delivery.packing, shop)
    try:
        reserve_share(shop.pricing.contingency)
    except Reading as reading:
        yield Problem("pricing.contingency", reading.found, reading.write)
    if shop.timber.stave_width <= shop.timber.joint_loss:
        yield Problem("timber.stave_width", "found no more than joint_loss", "write the usual board width")
    if shop.pricing.round_to <= 0:
        yield Problem("pricing.round_to", "found 0", "write the smallest step of a price, such as 5 or 0.01")
    if shop.delivery.speed.low <= 0:
        yield Problem("delivery.speed", "found 0", 'write a speed such as "30 mph"')
    if shop.delivery.furthest < shop.delivery.free_radius:
        yield Problem(
            "delivery.furthest", "found less than free_radius", "write a distance beyond free_radius"
        )
    yield from _stages("terms.stages", shop.terms.stages)


def _packing(field: str, packing: str, shop: Shop) -> Iterator[Problem]:
    ways = [name for name, standard in shop.standard.items() if "packing" in standard.applies_to]
    yield from _known(field, packing, ways, "packing")


def _stages(field: str, stages: tuple[Stage, ...]) -> Iterator[Problem]:
    if not stages:
        yield Problem(
            field, "found an empty list", 'write at least one, such as { name = "Balance", share = "100 %" }'
        )
    for stage in stages:
        if (stage.share is None) == (stage.amount is None):
            yield Problem(
                field, f'found both or neither of share and amount in "{stage.name}"', "write one of them"
            )
    shares = [stage.share for stage in stages if stage.share is not None]
    if shares and abs(sum(shares) - 1) > 1e-9:
        yield Problem(field, f"found shares of {sum(shares):.4g} in all", "write shares that sum to 100 %")
    if stages and not shares:
        yield Problem(field, "found amounts only", 'write the last one as share = "100 %" of what is left')


def job_rules(job: Job, shop: Shop) -> list[Problem]:
    """What is wrong in the head of the job, and where a part names something the shop has not."""
    return [*_head(job, shop), *_travel(job, shop), *_people(job, shop), *_causes(job, shop)]


def _head(job: Job, shop: Shop) -> Iterator[Problem]:
    yield from _known("price.channel", job.price.channel, shop.channel, "channel")
    if job.price.contingency:
        try:
            reserve_share(job.price.contingency)
        except Reading as reading:
            yield Problem("price.contingency", reading.found, reading.write)
    if job.price.discount and job.price.discount.share >= 1:
        yield Problem("price.discount", f"found {job.price.discount.share:.0%}", "write less than 100 %")
    if job.quote.stages is not None:
        yield from _stages("quote.stages", job.quote.stages)
    names = [option.name for option in job.option]
    for name in {name for name in names if names.count(name) > 1}:
        yield Problem("option", f'found the name "{name}" twice', "write another name")


def _travel(job: Job, shop: Shop) -> Iterator[Problem]:
    delivery = job.delivery
    if delivery is None:
        return
    given = [delivery.road_distance, delivery.straight_distance]
    if delivery.collect and any(distance is not None for distance in given):
        yield Problem("delivery", "found a distance and collect = true", "write one of them")
    if not delivery.collect and sum(distance is not None for distance in given) != 1:
        yield Problem(
            "delivery", "found no distance, or two", 'write road_distance = "20 mi", or collect = true'
        )
    yield from _packing("delivery.packing", delivery.packing, shop)


def _people(job: Job, shop: Shop) -> Iterator[Problem]:
    for trade in ("work", "machine", "setback"):
        for part in getattr(job, trade):
            yield from _known(f"{trade}.{part.id}.who", part.who, shop.pay, "pay")
    for work in job.work:
        yield from _known(f"work.{work.id}.replaces", work.replaces, shop.standard, "standard")
        if (work.hours is None) == (work.each is None):
            yield Problem(
                f"work.{work.id}",
                "found both or neither of hours and each",
                'write hours = "3 h", or each and quantity',
            )
        if work.hours is not None and (work.quantity > 1 or work.learning is not None):
            words = "found quantity or learning with hours in all"
            yield Problem(f"work.{work.id}", words, "write each, or hours alone")
    for back in job.setback:
        if back.hours is None and back.cost is None:
            yield Problem(f"setback.{back.id}", "found neither hours nor cost", "write what it would take")
        if back.chance > 1:
            yield Problem(f"setback.{back.id}.chance", f"found {back.chance:g}", "write a chance from 0 to 1")
    for trade in TRADES:
        for part in getattr(job, trade):
            for name in part.standard:
                yield from _known(f"{trade}.{part.id}.standard.{name}", name, shop.standard, "standard")


def _causes(job: Job, shop: Shop) -> Iterator[Problem]:
    known = {PACE, *shop.cause, *job.cause}
    for path, name in [*cause_names(job), *cause_names(shop)]:
        short = name.removeprefix("cause.")
        if path[0] in ("cause", "pace"):
            yield Problem(".".join(map(str, path)), "found a cause of a cause", "write a plain range")
        elif short not in known:
            words = [str(step) for step in path]
            if len(words) > 1 and words[1].isdigit():
                words[1] = getattr(job, words[0])[int(words[1])].id
            yield Problem(
                ".".join(words), f'found cause "{short}"', f"write [cause.{short}] with factor = ..."
            )
