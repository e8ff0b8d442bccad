"""A whole job drawn many times through the one model, and each input's share of the variance."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.costing.model import cost
from quoting.costing.shared import trip_beyond, trip_carried
from quoting.pick import draws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from quoting.job.brief import Brief
    from quoting.values import Num, Pick, Uncertain


AT_ONCE = 20_000  # draws


MOST_GROUPS = 64
FEWEST_IN_GROUP = 30


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


def drawn(brief: Brief, seed: int, count: int) -> Drawn:
    """Draw a job `count` times. The same seed gives the same draws of an input, whatever else the job holds.

    The model runs on so many draws at a time, so that a large job needs no more memory for more draws.
    """
    streams: dict[str, NDArray[np.float64]] = {}
    pick = draws(seed, count, streams)
    found = [
        _some(brief, pick, slice(start, min(start + AT_ONCE, count))) for start in range(0, count, AT_ONCE)
    ]
    planned, beyond, carried, labour_h, machine_h, rounds, resin_l, bench_d = (
        np.concatenate(column) for column in zip(*(one.columns for one in found), strict=True)
    )
    held: dict[str, int] = defaultdict(int)
    for one in found:
        for name, times in one.held.items():
            held[name] += times
    shares = {name: times / count for name, times in held.items() if times}
    return Drawn(planned, beyond, carried, labour_h, machine_h, rounds, resin_l, bench_d, shares, streams)


class _Some(NamedTuple):
    columns: tuple[NDArray[np.float64], ...]
    held: dict[str, int]


def _some(brief: Brief, pick: Pick, part: slice) -> _Some:
    """The columns of `Drawn` for some of the draws, and how often each bound held one back."""

    def window(given: Uncertain) -> Num:
        value = pick(given)
        return value[part] if isinstance(value, np.ndarray) else value

    def every(value: Num) -> NDArray[np.float64]:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (part.stop - part.start,))

    run = cost(brief, window)
    columns = (
        run.planned,
        trip_beyond(brief, window),
        trip_carried(run.lines),
        run.labour_h,
        run.machine_h,
        run.needed.facts.get("bag_cycles", 0.0),
        run.needed.facts.get("resin_litres", 0.0),
        run.bench_days(brief.shop.shop.week.hours),
    )
    held = {name: int(np.sum(every(clipped))) for name, clipped in run.needed.clipped.items()}
    return _Some(tuple(every(column) for column in columns), held)


def seed_and_draws(brief: Brief) -> tuple[int, int]:
    """Seed and number of draws of a job: its own, else the shop's."""
    own, standing = brief.job.risk, brief.shop.risk
    return (standing.seed if own.seed is None else own.seed), own.draws or standing.draws


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
