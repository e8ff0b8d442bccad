"""Rules between fields of a job, and between a job and its shop. Each returns problems by dotted name."""

from collections.abc import Iterator
from typing import Any

from quoting.errors import Problem
from quoting.job.brief import cause_names
from quoting.job.job import Job
from quoting.job.rules import PACE, draws_rule, known, packing_rule, payment_rules, reserve_rule
from quoting.job.shop import Shop
from quoting.measures.showing import per_cent
from quoting.trades.parts import parts
from quoting.trades.registry import trades
from quoting.unread import judged


def job_rules(job: Job, shop: Shop) -> list[Problem]:
    """What is wrong in the head of the job, and where a part names something the shop has not, as far as both can be read."""
    of_job = (_channel, _reserve, _price, _twice, _travel, _caused)
    found = [one for rule in of_job for one in judged(rule(job, shop))]
    for rule in (_who, _names):
        found += [one for trade, part in parts(job) for one in judged(rule(trade, part, shop))]
    return found


def _channel(job: Job, shop: Shop) -> Iterator[Problem]:
    yield from known("price.channel", job.price.channel, shop.channel, "channel")


def _reserve(job: Job, _: Shop) -> Iterator[Problem]:
    yield from draws_rule("risk.draws", job.risk.draws)
    if job.price.reserve:
        yield from reserve_rule("price.reserve", job.price.reserve)


def _price(job: Job, _: Shop) -> Iterator[Problem]:
    if job.price.discount and job.price.discount.share >= 1:
        yield Problem.of(
            "price.discount",
            f"found {per_cent(job.price.discount.share, 0)}",
            "write less than 100 %",
            "too_large",
            found=job.price.discount.share,
        )
    if job.quote.payments is not None:
        yield from payment_rules("quote.payments", job.quote.payments)


def _twice(job: Job, _: Shop) -> Iterator[Problem]:
    names = [option.name for option in job.option]
    for name in {name for name in names if names.count(name) > 1}:
        yield Problem.of("option", f'found the name "{name}" twice', "write another name", "twice", name=name)


def _travel(job: Job, shop: Shop) -> Iterator[Problem]:
    delivery = job.delivery
    if delivery is None:
        return
    given = [delivery.road_distance, delivery.straight_distance, delivery.place]
    if delivery.place is not None and shop.shop.place is None:
        wanted = "write [shop] place = [latitude, longitude] in shop.toml"
        yield Problem.of(
            "delivery.place", "found a place, and the shop names none of its own", wanted, "missing"
        )
    if delivery.collect and any(distance is not None for distance in given):
        yield Problem.of("delivery", "found a distance and collect = true", "write one of them", "conflict")
    if not delivery.collect and sum(distance is not None for distance in given) != 1:
        wanted = 'write road_distance = "20 mi", or collect = true'
        yield Problem.of("delivery", "found no distance, or two", wanted, "one_of")
    yield from packing_rule("delivery.packing", delivery.packing, shop)


def _who(trade: str, part: Any, shop: Shop) -> Iterator[Problem]:
    if hasattr(part, "who"):
        yield from known(f"{trade}.{part.id}.who", part.who, shop.pay, "pay")


def _names(trade: str, part: Any, shop: Shop) -> Iterator[Problem]:
    if hasattr(part, "replaces"):
        yield from known(f"{trade}.{part.id}.replaces", part.replaces, shop.standard, "standard")
    if rules := trades()[trade].rules:
        yield from trades()[trade].named(rules)(part)
    for name in part.standard:
        yield from known(f"{trade}.{part.id}.standard.{name}", name, shop.standard, "standard")


def _caused(job: Job, shop: Shop) -> Iterator[Problem]:
    there = {PACE, *shop.cause, *job.cause}
    for path, name in [*cause_names(job), *cause_names(shop)]:
        short = name.removeprefix("cause.")
        if path[0] in ("cause", "pace"):
            yield Problem.of(
                ".".join(map(str, path)), "found a cause of a cause", "write a plain range", "conflict"
            )
        elif short not in there:
            words = [str(step) for step in path]
            if len(path) > 1 and isinstance(path[1], int) and words[0] in job.parts:
                words[1] = job.parts[words[0]][path[1]].id
            wanted = f"write [cause.{short}] with factor = ..."
            yield Problem.of(".".join(words), f'found cause "{short}"', wanted, "unknown_name", name=short)
