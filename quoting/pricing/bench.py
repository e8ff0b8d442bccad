"""The plan of the bench: the days of a job, and the cards of what is pressed round by round, of each pour and each coat."""

from collections.abc import Iterator, Sequence
from typing import Any

from quoting.costing.model import Cost
from quoting.costing.needs import Taken, take_offs
from quoting.declaration import COATING, FINISH, LAY_UP
from quoting.job.brief import Brief
from quoting.job.shop import Shop
from quoting.pick import likely
from quoting.pricing.bench_record import PourCard, Step
from quoting.pricing.lists import days_until_begun
from quoting.pricing.record import Buying
from quoting.takeoff.mixing import mix
from quoting.trades.laminate.bagging import LaminateCard
from quoting.trades.registry import chain_of, trades


def calendar(run: Cost, brief: Brief, to_buy: Sequence[Buying]) -> tuple[Step, ...]:
    """Every step of a plan, in the order it starts within its stage; steps of no length are left out.

    The bench starts when the longest lead and the booked work are over. Rounds and pours of one part follow
    one another, parts run side by side; flood coats start after the bench, finishes after the slowest coats.
    """
    house = brief.shop.shop
    last = max(to_buy, key=lambda line: line.lead_days, default=None)
    longest = 0.0 if last is None else last.lead_days
    spans = run.spans(house.week.hours)
    start = days_until_begun(house.booked_ahead, to_buy)
    bench = start + float(spans.bench)
    oiling = bench + float(spans.coating)
    taken = take_offs(brief, likely)
    found = [Step("order", "", 1, 1, 0.0, 0.0)]
    if last is not None:
        found.append(Step("lead", last.item, 1, 1, 0.0, longest, part=last.supplier))
    found.append(Step("booked", "", 1, 1, 0.0, house.booked_ahead))
    hours = float(run.labour_h) - float(run.finishing_h)
    found.append(Step("bench", "", 1, 1, start, start + float(spans.labour), hours))
    found += _chains(LAY_UP, taken, brief.shop, start)
    found += _chains(COATING, taken, brief.shop, bench)
    found += _chains(FINISH, taken, brief.shop, oiling)
    done = bench + float(spans.finishing)
    found.append(Step("finishing", "", 1, 1, bench, done, float(run.finishing_h)))
    there = [one for one in found if one.kind == "order" or one.ends_d > one.starts_d]
    ready = max(start, *(one.ends_d for one in there))
    return (*there, Step("ready", "", 1, 1, ready, ready))


def _chains(chain: str, taken: Sequence[Taken], shop: Shop, start: float) -> Iterator[Step]:
    """The steps of every part that belongs to a chain, each of one length, from its start on."""
    for one in taken:
        if chain_of(one.trade) != chain:
            continue
        count = int(one.take_off.chain_steps)
        each = float(one.take_off.chain_days) / max(count, 1)
        rest = rest_h(one.trade, one.part, shop)
        for number in range(1, count + 1):
            begins, ends = start + (number - 1) * each, start + number * each
            path = f"{one.trade}.{one.part.id}"
            yield Step(trades()[one.trade].step, one.part.part, number, count, begins, ends, rest, path)


def rest_h(trade: str, part: Any, shop: Shop) -> float:
    """Hours for which a step is left alone: the cure of its resin, or what the trade says [h]."""
    one = trades()[trade]
    if one.rest:
        return float(one.named(one.rest)(part, shop))
    own = getattr(part, "cure_time", None)
    return float(shop.resin[part.resin].cure_time if own is None else own)


def step_words() -> frozenset[str]:
    """What the trades call a step of theirs."""
    return frozenset(one.step for one in trades().values() if one.step)


def pour_cards(brief: Brief) -> Iterator[PourCard]:
    """The card of every casting and coating; its pours or coats sum to the line of the price."""
    for taken in take_offs(brief, likely):
        one, part, off = trades()[taken.trade], taken.part, taken.take_off
        if not one.poured:
            continue
        resin, steps = brief.shop.resin[part.resin], int(off.chain_steps)
        yield PourCard(
            path=f"{taken.trade}.{part.id}",
            trade=taken.trade,
            part=part.part,
            times=taken.times,
            resin=part.resin,
            steps=steps,
            mix=mix(float(off.needs[0].amounts["volume"]) / steps, resin),
            depth_m=one.named(one.poured)(part, steps),
            deepest_m=resin.pour_depth,
            working_h=resin.working_time,
            cure_h=rest_h(taken.trade, part, brief.shop),
        )


def pressed_cards(brief: Brief) -> Iterator[LaminateCard]:
    """The card of every part that is pressed in rounds, at the plan; each round sums to the lines of the price."""
    for taken in take_offs(brief, likely):
        one = trades()[taken.trade]
        if one.pressed:
            yield one.named(one.pressed)(taken.part, taken.times, brief.shop, brief.tables)
