"""Quantiles of draws, how well so many draws know them, and the reserve that 8 in 10 builds would need."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.costing.model import cost
from quoting.pick import likely

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from quoting.job.brief import Brief
    from quoting.risk.drawn import Drawn
    from quoting.values import Num


LEVELS = (0.10, 0.50, 0.80, 0.90)
SURE = 0.95
NORMAL_95 = 1.959963984540054  # of the standard normal distribution: 95 % lie within so many deviations


P80 = 0.80


class Quantile(NamedTuple):
    """A quantile of draws, in the unit of the draws, with its standard error."""

    level: float
    value: float
    error: float


class Chance(NamedTuple):
    """The share of draws in which something happens, with its standard error."""

    share: float
    error: float


def quantiles(drawn: NDArray[np.float64], levels: tuple[float, ...] = LEVELS) -> tuple[Quantile, ...]:
    """Quantiles of draws, array of shape (draws,), each with its standard error.

    The standard error is half the width of the distribution-free 95 % interval (`order_interval`) over 1.96: it
    needs no density, and agrees with sqrt(p (1 - p) / n) / f(q_p) where there is one.
    """
    ordered = np.sort(drawn)
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


def _binomial(n: int, p: float) -> NDArray[np.float64]:
    """Chances of 0 .. n successes in n trials, array of shape (n + 1,), by their ratios."""
    k = np.arange(1, n + 1)
    steps = np.log((n - k + 1) / k) + math.log(p / (1 - p))
    return np.exp(n * math.log(1 - p) + np.concatenate([[0.0], np.cumsum(steps)]))


def reserve(planned: float, drawn: Num) -> float:
    """The reserve [money]: the 80 % quantile of drawn cost, less planned cost, never below zero."""
    return float(np.maximum(np.quantile(drawn, P80) - planned, 0.0))


def drawn_reserve(brief: Brief, run: Drawn) -> float:
    """The reserve of a job whose draws are there [money]: both sides unrounded."""
    return reserve(float(cost(brief, likely).planned), run.planned)
