"""How sure a price is: what draws of the whole job say of its cost, its margin and its days, and what drives them."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.model import cost
from quoting.costing.shared import trip_beyond
from quoting.errors import Problem, Problems
from quoting.job.brief import Brief
from quoting.measures.showing import per_cent
from quoting.money import exact
from quoting.pick import likely, listening, one_at_a_time
from quoting.pricing.chain import Chain, chain
from quoting.pricing.lists import days_until_begun
from quoting.pricing.record import Priced, Unsure
from quoting.risk.drawn import (
    Chance,
    Drawn,
    Quantile,
    chance,
    chances,
    drawn,
    first_order,
    quantiles,
    reserve,
    seed_and_draws,
    untold,
)
from quoting.takeoff.numbers import TOLERANCE
from quoting.values import Uncertain

SETBACK = "setback."
BINS, TAILS = 48, (0.001, 0.999)


class Driver(NamedTuple):
    """An uncertain input: its range in words, the cost with it at its low and at its high and all others likely
    [money], and its share of the variance of the cost (first-order Sobol index; an estimate, a little below 0 at times).
    """

    name: str
    words: str
    at_low: float
    at_high: float
    share: float

    @property
    def swing(self) -> float:
        """What it can move the cost by [money]."""
        return abs(self.at_high - self.at_low)


class Histogram(NamedTuple):
    """Draws of cost by bins of equal width; the outermost thousandth on each side is left out."""

    edges: tuple[float, ...]
    counts: tuple[int, ...]


class Outlook(NamedTuple):
    """What draws of a job say. Costs include the trip [money]; quantiles at 10, 50, 80 and 90 %.

    `plan` is the cost with every input at its likely value, `met` the chance that a build costs no more. `covering` is the
    total price that holds the asked margin at the cost that 8 in 10 builds stay below. `together` is the share of the
    variance that no input explains by itself.
    """

    seed: int
    draws: int
    plan: float
    cost: tuple[Quantile, ...]
    margins: tuple[float, ...]
    met: Chance
    loses: Chance
    misses_floor: Chance
    misses_margin: Chance
    covering: Decimal
    labour_h: tuple[Quantile, ...]
    machine_h: tuple[Quantile, ...]
    resin_l: tuple[Quantile, ...]
    lead_d: tuple[Quantile, ...]
    rounds: tuple[tuple[int, float], ...]
    drivers: tuple[Driver, ...]
    setbacks: tuple[Driver, ...]
    together: float
    clipped: Mapping[str, float]
    histogram: Histogram


def outlook_of(
    brief: Brief,
    priced: Priced,
    draws: int | None = None,
    seed: int | None = None,
    made: Callable[[int], None] = untold,
) -> Outlook:
    """The outlook of a priced job: the price stands, the cost is drawn; seed and number of draws are its own, else the shop's. `made` is told
    how many draws there are, now and then.

    Raises Problems where draws fall beyond a bound too often.
    """
    own_seed, own_draws = seed_and_draws(brief)
    seed, draws = own_seed if seed is None else seed, own_draws if draws is None else draws
    run = drawn(brief, seed, draws, made)
    refuse_clipped(brief, run.clipped)
    plan = float(cost(brief, likely).planned) + float(trip_beyond(brief, likely))
    sale, rules, drawn_cost = priced.chain, priced.rules, run.cost
    spread, left = quantiles(drawn_cost), margins(sale, drawn_cost)
    moved = unsure(brief, beyond=True)
    named = [Driver(*one, first_order(run.streams[one.name], drawn_cost)) for one in moved]
    together = max(1 - sum(one.share for one in named), 0.0) if np.ptp(drawn_cost) else 0.0
    return Outlook(
        seed=seed,
        draws=len(drawn_cost),
        plan=plan,
        cost=spread,
        margins=tuple(map(float, margins(sale, np.array([one.value for one in spread])))),
        met=chance(drawn_cost <= plan * (1 + TOLERANCE)),
        loses=chance(left < 0),
        misses_floor=chance(left < float(rules.floor)),
        misses_margin=chance(left < float(rules.margin)),
        covering=_covering(priced, run),
        labour_h=quantiles(run.labour_h),
        machine_h=quantiles(run.machine_h),
        resin_l=quantiles(run.resin_l),
        lead_d=quantiles(days_to_hand_over(priced, run)),
        rounds=chances(run.rounds) if run.rounds.any() else (),
        drivers=tuple(one for one in named if not one.name.startswith(SETBACK)),
        setbacks=tuple(one for one in named if one.name.startswith(SETBACK)),
        together=together,
        clipped=run.clipped,
        histogram=_histogram(drawn_cost),
    )


def days_to_hand_over(priced: Priced, run: Drawn) -> NDArray[np.float64]:
    """Days from the order to the hand-over of every draw, array of shape (draws,) [d]."""
    return days_until_begun(priced.shop.shop.booked_ahead, priced.buying) + run.bench_d


def margins(sale: Chain, cost: NDArray[np.float64]) -> NDArray[np.float64]:
    """Margins of costs [money] at a price that stands, arrays of one shape: -1 where nothing is asked for it."""
    if not sale.net:
        return np.full(len(cost), -1.0)
    return (float(sale.net - sale.fee_total) - cost) / float(sale.net)


def _covering(priced: Priced, run: Drawn) -> Decimal:
    """The total whose reserve is what 8 in 10 builds cost more than the plan, the whole trip in both.

    Where nothing is surcharged, it is the price with reserve = "P80".
    """
    planned, extra = priced.cost["planned"], priced.chain.delivery_extra
    more = exact(reserve(float(planned + extra), run.cost), priced.digits)
    return chain(planned + more, extra, priced.rules).total


def _histogram(cost: NDArray[np.float64]) -> Histogram:
    low, high = np.quantile(cost, TAILS)
    counts, edges = np.histogram(cost, bins=BINS, range=(low, high) if high > low else (low - 1, low + 1))
    return Histogram(tuple(map(float, edges)), tuple(map(int, counts)))


def refuse_clipped(brief: Brief, clipped: Mapping[str, float]) -> None:
    """Raises Problems where a bound held back more draws than the shop allows: they tell nothing then."""
    worst = max(clipped.items(), key=lambda one: one[1], default=None)
    limit = brief.shop.warnings.clipped_share
    if worst is not None and worst[1] > limit:
        name, _, what = worst[0].partition(": ")
        words = f"found {what} in {per_cent(worst[1])} of draws (limit {per_cent(limit)})"
        wanted = "write narrower ranges, or change the part"
        found = Problem.of(name, words, wanted, "clipped", what=what, share=worst[1], limit=limit)
        raise Problems(brief.placed([found]))


def unsure(brief: Brief, beyond: bool = False) -> tuple[Unsure, ...]:
    """Uncertain inputs of a job, those that move its cost most first: one run moves each by itself.

    The planned cost; with `beyond`, also that of the trip which a surcharge pays for.
    """
    asked: dict[str, Uncertain] = {}
    cost(brief, listening(likely, asked))
    inputs = list(asked.values())
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
