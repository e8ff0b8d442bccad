"""Rules between fields of a job, and between a job and its shop. Each returns problems by dotted name."""

from collections.abc import Iterator

from quoting.errors import Problem
from quoting.job.brief import cause_names
from quoting.job.job import Job
from quoting.job.rules import PACE, draws_rule, known, packing_rule, reserve_rule, stage_rules
from quoting.job.shop import Shop
from quoting.measures.showing import per_cent
from quoting.trades.parts import parts
from quoting.trades.registry import trades


def job_rules(job: Job, shop: Shop) -> list[Problem]:
    """What is wrong in the head of the job, and where a part names something the shop has not."""
    return [*_head(job, shop), *_travel(job, shop), *_people(job, shop), *_caused(job, shop)]


def _head(job: Job, shop: Shop) -> Iterator[Problem]:
    yield from known("price.channel", job.price.channel, shop.channel, "channel")
    yield from draws_rule("risk.draws", job.risk.draws)
    if job.price.contingency:
        yield from reserve_rule("price.contingency", job.price.contingency)
    if job.price.discount and job.price.discount.share >= 1:
        yield Problem(
            "price.discount", f"found {per_cent(job.price.discount.share, 0)}", "write less than 100 %"
        )
    if job.quote.stages is not None:
        yield from stage_rules("quote.stages", job.quote.stages)
    names = [option.name for option in job.option]
    for name in {name for name in names if names.count(name) > 1}:
        yield Problem("option", f'found the name "{name}" twice', "write another name")


def _travel(job: Job, shop: Shop) -> Iterator[Problem]:
    delivery = job.delivery
    if delivery is None:
        return
    given = [delivery.road_distance, delivery.straight_distance, delivery.place]
    if delivery.place is not None and shop.shop.place is None:
        wanted = "write [shop] place = [latitude, longitude] in shop.toml"
        yield Problem("delivery.place", "found a place, and the shop names none of its own", wanted)
    if delivery.collect and any(distance is not None for distance in given):
        yield Problem("delivery", "found a distance and collect = true", "write one of them")
    if not delivery.collect and sum(distance is not None for distance in given) != 1:
        wanted = 'write road_distance = "20 mi", or collect = true'
        yield Problem("delivery", "found no distance, or two", wanted)
    yield from packing_rule("delivery.packing", delivery.packing, shop)


def _people(job: Job, shop: Shop) -> Iterator[Problem]:
    for trade, part in parts(job):
        if hasattr(part, "who"):
            yield from known(f"{trade}.{part.id}.who", part.who, shop.pay, "pay")
    for trade, part in parts(job):
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
            yield Problem(".".join(map(str, path)), "found a cause of a cause", "write a plain range")
        elif short not in there:
            words = [str(step) for step in path]
            if len(path) > 1 and isinstance(path[1], int) and words[0] in job.parts:
                words[1] = job.parts[words[0]][path[1]].id
            wanted = f"write [cause.{short}] with factor = ..."
            yield Problem(".".join(words), f'found cause "{short}"', wanted)
