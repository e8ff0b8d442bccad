"""Cards for the bench, at the plan: what is pressed round by round, each pour and each coat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.costing.needs import take_offs
from quoting.pick import likely
from quoting.pricing.calendar import rest_h
from quoting.pricing.record import PourCard
from quoting.takeoff.mixing import mix
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.costing.needs import Taken
    from quoting.job.brief import Brief
    from quoting.trades.laminate.cards import LaminateCard


def pour_cards(brief: Brief) -> Iterator[PourCard]:
    """The card of every casting and coating; its pours or coats sum to the line of the price."""
    for taken in take_offs(brief, likely):
        if trades()[taken.trade].poured:
            yield _card(taken, brief)


def _card(taken: Taken, brief: Brief) -> PourCard:
    part, off, resin = taken.part, taken.take_off, brief.shop.resin[taken.part.resin]
    steps = int(off.chain_steps)
    one = trades()[taken.trade]
    return PourCard(
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
