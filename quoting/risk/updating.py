"""What was measured teaches what was guessed: normal updating of uncertain inputs, on their logarithms."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from quoting.values import Num

if TYPE_CHECKING:
    Expected = Callable[[Mapping[str, Num]], Sequence[Num]]

PASSES = 3  # linearised again at what the pass before found
LEAST_SPREAD = 1e-6
FARTHEST = 2.0  # deviations of a range from its middle: what lies further refutes the range
WIDENINGS = 6  # times at most


@dataclass(frozen=True, slots=True)
class Belief:
    """What is held of `names`: mean of their logarithms, shape (n,), and covariance, shape (n, n)."""

    names: tuple[str, ...]
    mean: NDArray[np.float64]
    covariance: NDArray[np.float64]

    def middle(self, name: str) -> float:
        """The value of an input that half of all builds stay below."""
        return float(np.exp(self.mean[self.names.index(name)]))

    def spread(self, name: str) -> float:
        """The standard deviation of an input, as a share of its value."""
        at = self.names.index(name)
        return float(np.sqrt(self.covariance[at, at]))


def held(streams: Mapping[str, NDArray[np.float64]], names: Sequence[str]) -> Belief:
    """What draws of some inputs, arrays of shape (draws,), all above zero, say of them before anything is measured."""
    logs = [np.log(streams[name]) for name in names]
    return Belief(
        tuple(names), np.array([one.mean() for one in logs]), np.diag([float(one.var()) for one in logs])
    )


def updated(
    belief: Belief, expected: Expected, observed: Sequence[float], spreads: Sequence[float]
) -> Belief:
    """What is held after measuring. `expected` gives, for values of the inputs, what each of the measured things should
    be (numbers, or arrays alike); `observed` are the measured values, `spreads` their standard deviations, as shares of them.

    Normal updating with known spread (Gelman et al., Bayesian Data Analysis, sections 2.5 and 14.1, from memory): with prior
    N(m, V) of the logarithms, y = J x + e and e ~ N(0, D),

        K = V J' (J V J' + D)^-1;  m' = m + K (y - J m);  V' = (I - K J) V

    which weighs prior and measurement by their precisions: for one input and one measurement
    1/v' = 1/v + 1/d and m'/v' = m/v + y/d. Where ln(expected) is linear in the logarithms (a power law such as a learning
    curve), the measured part of it is the least-squares fit, shrunk to the prior while data are few. Else J is the slope
    over one standard deviation each way, taken again where the pass before ended (Gauss-Newton).

    Where an input comes to lie further than two deviations of its range from its middle, the range itself was wrong: it is
    widened until it does not, so that a measurement is not overruled by a guess that it refutes.
    """
    if not belief.names or not len(observed):
        return belief
    noise = np.diag(np.maximum(np.asarray(spreads, dtype=np.float64), LEAST_SPREAD) ** 2)
    logs = np.log(np.asarray(observed, dtype=np.float64))
    prior = belief
    for _ in range(WIDENINGS):
        found = _updated(prior, expected, logs, noise)
        far = np.abs(found.mean - belief.mean) / np.sqrt(np.diag(prior.covariance))
        if not np.any(far > FARTHEST):
            break
        wider = np.maximum(far / FARTHEST, 1.0)
        prior = replace(prior, covariance=prior.covariance * np.outer(wider, wider))
    return found


def _updated(
    belief: Belief, expected: Expected, logs: NDArray[np.float64], noise: NDArray[np.float64]
) -> Belief:
    step = np.sqrt(np.diag(belief.covariance))
    mean, covariance = belief.mean, belief.covariance
    for _ in range(PASSES):
        middle, slopes = _linear(belief.names, expected, mean, step)
        gain = belief.covariance @ slopes.T @ np.linalg.inv(slopes @ belief.covariance @ slopes.T + noise)
        mean = belief.mean + gain @ (logs - middle + slopes @ (mean - belief.mean))
        kept = np.eye(len(belief.names)) - gain @ slopes
        covariance = kept @ belief.covariance @ kept.T + gain @ noise @ gain.T
    return Belief(belief.names, mean, covariance)


def _linear(
    names: Sequence[str], expected: Expected, mean: NDArray[np.float64], step: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """ln(expected) at the mean, shape (m,), and its slopes, shape (m, n): one run moves one input at a time."""
    n = len(names)
    moved = np.tile(mean[:, None], (1, 2 * n + 1))
    for i in range(n):
        moved[i, 2 * i + 1] -= step[i]
        moved[i, 2 * i + 2] += step[i]
    found = expected({name: np.exp(moved[i]) for i, name in enumerate(names)})
    logs = np.log(np.array([np.broadcast_to(one, (2 * n + 1,)) for one in found]))
    return logs[:, 0], (logs[:, 2::2] - logs[:, 1::2]) / (2 * step)


def moved(
    before: Belief, after: Belief, streams: Mapping[str, NDArray[np.float64]]
) -> dict[str, NDArray[np.float64]]:
    """Draws of the inputs as they are held now, arrays of shape (draws,): those from before, moved and drawn together.

    x' = m' + L u with L L' = V' (Cholesky) and u = (x - m) / sd. Of an input of which nothing was learnt the draws stay.
    """
    if not before.names:
        return {}
    spread = np.sqrt(np.diag(before.covariance))
    given = np.array([np.log(streams[name]) for name in before.names])
    units = (given - before.mean[:, None]) / spread[:, None]
    now = after.mean[:, None] + np.linalg.cholesky(after.covariance) @ units
    return {name: np.exp(now[i]) for i, name in enumerate(after.names)}
