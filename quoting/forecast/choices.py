"""What to decide in the middle of a laminate: stop at the thickness reached, one more round, two, or on to the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.forecast.build import Stop, facts
from quoting.forecast.ends import ends, spread_out
from quoting.pick import known
from quoting.risk.quantiles import quantiles
from quoting.takeoff.rounds import lay_up

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.forecast.build import Build
    from quoting.forecast.panels import Panel
    from quoting.review.contract import Contract
    from quoting.risk.quantiles import Quantile
    from quoting.values import Pick

MOST_ROUNDS_MORE = 2


class Choice(NamedTuple):
    """A laminate ended after so many `more` rounds (None: when it is as thick as planned): its thickness after
    flattening [m], the cost of the piece in the end [money], days still to go [d]; the middle margin of the price. `reaches` is
    the share of builds in which it is as thick as wanted.
    """

    part: str
    more: int | None
    thickness_m: tuple[Quantile, ...]
    reaches: float
    cost: tuple[Quantile, ...]
    days: tuple[Quantile, ...]
    margin: float | None


def choices(
    build: Build, panel_list: Sequence[Panel], pick: Pick, contract: Contract, count: int
) -> Iterator[Choice]:
    """The choices of every laminate that is begun and not done; none costs another price."""
    begun = {one.id for one in build.pressed}
    for panel in panel_list:
        if panel.id not in begun:
            continue
        part = next(part for part in build.brief.job.laminate if part.id == panel.id)
        lay = lay_up(part, build.brief.shop, build.brief.tables, known(facts(build), pick))
        for more in (*range(MOST_ROUNDS_MORE + 1), None):
            stop = None if more is None else Stop(panel.id, more, float(panel.per_round))
            end = ends(build, pick, stop)
            plies = lay.plies if more is None else panel.plies + more * float(panel.per_round)
            thick = spread_out(plies * lay.ply_m - lay.removed_m, count)
            cost = quantiles(spread_out(end.cost, count))
            yield Choice(
                part=panel.part,
                more=more,
                thickness_m=quantiles(thick),
                reaches=float(np.mean(thick >= part.thickness * (1 - 1e-9))),
                cost=cost,
                days=quantiles(spread_out(end.days, count)),
                margin=margin_left(contract, cost[1].value),
            )


def margin_left(contract: Contract, cost: float) -> float | None:
    """Share of the net price that a cost leaves after fees; None where nothing comes in."""
    return (float(contract.net - contract.fees) - cost) / float(contract.net) if contract.net else None
