"""A whole job drawn many times through the one model: quantiles, the reserve, and each input's share of the variance."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.model import cost
from quoting.costing.shared import trip_beyond, trip_carried
from quoting.pick import draws, likely
from quoting.values import Num, Pick, Uncertain

if TYPE_CHECKING:
    from quoting.job.brief import Brief

AT_ONCE = 20_000  # draws

MOST_GROUPS = 64
FEWEST_IN_GROUP = 30

LEVELS = (0.10, 0.50, 0.80, 0.90)
SURE = 0.95
NORMAL_95 = 1.959963984540054  # of the standard normal distribution: 95 % lie within so many deviations

P80 = 0.80


@dataclass(frozen=True, slots=True)
class Drawn:
    """Draws of a job, arrays of shape (draws,).

    `planned` is the cost of all lines [money], `carried` what of it is the trip that the price carries [money], `beyond`
    what the trip costs beyond that [money]. `clipped` is the share of draws that each bound held back, `streams` what
    was drawn for each uncertain input.
    """

    planned: NDArray[np.float64]
    beyond: NDArray[np.float64]
    carried: NDArray[np.float64]
    labour_h: NDArray[np.float64]
    machine_h: NDArray[np.float64]
    rounds: NDArray[np.float64]
    resin_l: NDArray[np.float64]
    bench_d: NDArray[np.float64]
    clipped: Mapping[str, float]
    streams: Mapping[str, NDArray[np.float64]]

    @property
    def cost(self) -> NDArray[np.float64]:
        """Everything that the piece costs, its trip included [money]."""
        return self.planned + self.beyond


def untold(made: int) -> None:
    """Nobody waits for draws."""


def drawn(brief: Brief, seed: int, count: int, made: Callable[[int], None] = untold) -> Drawn:
    """Draw a job `count` times. The same seed gives the same draws of an input, whatever else the job holds.

    The model runs on so many draws at a time, so that a large job needs no more memory for more draws. Each time `made` is told
    how many there are.
    """
    streams: dict[str, NDArray[np.float64]] = {}
    pick = draws(seed, count, streams)
    found = []
    for start in range(0, count, AT_ONCE):
        made(start)
        found.append(_some(brief, pick, slice(start, min(start + AT_ONCE, count))))
    columns = {name: np.concatenate([some[name] for some, _ in found]) for name in found[0][0]}
    clipped: Counter[str] = Counter()
    for _, times in found:
        clipped.update(times)
    shares = {name: times / count for name, times in clipped.items() if times}
    return Drawn(**columns, clipped=shares, streams=streams)


def _some(brief: Brief, pick: Pick, part: slice) -> tuple[dict[str, NDArray[np.float64]], dict[str, int]]:
    """The arrays of `Drawn` for some of the draws, and how often each bound held one back."""

    def window(given: Uncertain) -> Num:
        value = pick(given)
        return value[part] if isinstance(value, np.ndarray) else value

    def every(value: Num) -> NDArray[np.float64]:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (part.stop - part.start,))

    run = cost(brief, window)
    columns = {
        "planned": run.planned,
        "beyond": trip_beyond(brief, window),
        "carried": trip_carried(run.lines),
        "labour_h": run.labour_h,
        "machine_h": run.machine_h,
        "rounds": run.needed.facts.get("bag_cycles", 0.0),
        "resin_l": run.needed.facts.get("resin_litres", 0.0),
        "bench_d": run.bench_days(brief.shop.shop.week.hours),
    }
    clipped = {name: int(np.sum(every(held))) for name, held in run.needed.clipped.items()}
    return {name: every(column) for name, column in columns.items()}, clipped


def seed_and_draws(brief: Brief) -> tuple[int, int]:
    """Seed and number of draws of a job: its own, else the shop's."""
    own, usual = brief.job.risk, brief.shop.risk
    return (usual.seed if own.seed is None else own.seed), own.draws or usual.draws


def first_order(given: NDArray[np.float64], result: NDArray[np.float64]) -> float:
    """The first-order Sobol index of an input: Var(E[result | input]) / Var(result), from 0 to 1.

    Draws, arrays of shape (draws,), are ordered by the input and cut into groups of equal size; the variance
    between the groups' means is freed of what chance alone would give (omega squared: Hays, Statistics, from memory):

        S = (SS_between - (g - 1) MS_within) / (SS_total + MS_within)

    An estimate may fall a little below 0 where there is nothing: so that estimates of many inputs may be added without
    their noise adding up, it is not cut off. An input of few values, such as a coin, has a group a value. Inputs must be independent of each other.
    """
    values, groups = np.unique(given, return_inverse=True)
    count = len(values)
    wanted = max(min(MOST_GROUPS, len(given) // FEWEST_IN_GROUP), 1)
    if count > wanted:
        places = np.empty(len(given), dtype=np.intp)
        places[np.argsort(given, kind="stable")] = np.arange(len(given))
        groups, count = places * wanted // len(given), wanted
    total = float(np.sum((result - result.mean()) ** 2))
    if not 1 < count < len(given) or not total:
        return 0.0
    sizes = np.bincount(groups, minlength=count)
    means = np.bincount(groups, weights=result, minlength=count) / sizes
    between = float(np.sum(sizes * (means - result.mean()) ** 2))
    within = (total - between) / (len(given) - count)
    return (between - (count - 1) * within) / (total + within)


class Quantile(NamedTuple):
    """A quantile of draws, in the unit of the draws, with its standard error."""

    level: float
    value: float
    error: float


class Chance(NamedTuple):
    """The share of draws in which something happens, with its standard error."""

    share: float
    error: float


def quantiles(values: NDArray[np.float64], levels: tuple[float, ...] = LEVELS) -> tuple[Quantile, ...]:
    """Quantiles of draws, array of shape (draws,), each with its standard error.

    The standard error is half the width of the distribution-free 95 % interval (`order_interval`) over 1.96: it
    needs no density, and agrees with sqrt(p (1 - p) / n) / f(q_p) where there is one.
    """
    ordered = np.sort(values)
    found = []
    for level in levels:
        first, last = order_interval(len(ordered), level)
        width = float(ordered[min(last, len(ordered)) - 1] - ordered[max(first, 1) - 1])
        found.append(Quantile(level, float(np.quantile(ordered, level)), width / (2 * NORMAL_95)))
    return tuple(found)


def order_interval(n: int, level: float, sure: float = SURE) -> tuple[int, int]:
    """Numbers (from 1) of the ordered draws between which the quantile lies, with `sure` confidence.

    P(X_(l) <= q < X_(u)) = P(l <= B <= u - 1), B binomial(n, level): l is the lower and u - 1 the upper quantile of
    B at (1 - sure) / 2 (David and Nagaraja, Order Statistics, from memory). Where there are too few draws for one,
    l is 0 or u is n + 1.
    """
    below = np.cumsum(_binomial(n, level))
    tail = (1 - sure) / 2
    return int(np.searchsorted(below, tail)), int(np.searchsorted(below, 1 - tail)) + 1


def chance(happens: NDArray[np.bool_]) -> Chance:
    """The share of draws in which something happens; its standard error is sqrt(p (1 - p) / n)."""
    share = float(np.mean(happens))
    return Chance(share, math.sqrt(share * (1 - share) / len(happens)))


def chances(counts: NDArray[np.float64]) -> tuple[tuple[int, float], ...]:
    """The share of draws, array of shape (draws,), that each whole number has."""
    values, times = np.unique(counts, return_counts=True)
    return tuple((int(value), float(n / len(counts))) for value, n in zip(values, times, strict=True))


def _binomial(n: int, p: float) -> NDArray[np.float64]:
    """Chances of 0 .. n successes in n trials, array of shape (n + 1,), by their ratios."""
    k = np.arange(1, n + 1)
    steps = np.log((n - k + 1) / k) + math.log(p / (1 - p))
    return np.exp(n * math.log(1 - p) + np.concatenate([[0.0], np.cumsum(steps)]))


def reserve(planned: float, costs: Num) -> float:
    """The reserve [money]: the 80 % quantile of drawn cost, less planned cost, never below zero."""
    return float(np.maximum(np.quantile(costs, P80) - planned, 0.0))


def drawn_reserve(brief: Brief, run: Drawn) -> float:
    """The reserve of a job whose draws are there [money]: both sides unrounded."""
    return reserve(float(cost(brief, likely).planned), run.planned)
