"""What measured values teach: normal updating of what was guessed, on logarithms; lines through points; means of a few pieces."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.values import Num

Expected = Callable[[Mapping[str, Num]], Sequence[Num]]
"""What each of the measured things should be, for values of the inputs."""

PASSES = 3  # linearised again at what the pass before found
LEAST_SPREAD = 1e-6
FARTHEST = 2.0  # deviations of a range from its middle: what lies further refutes the range
WIDENINGS = 6  # times at most

FEWEST_POINTS = 3  # of a line: two lie on any, and tell no error
FEWEST_PIECES = 3  # before anything new is proposed
SURE = 2.0  # standard errors that a change must exceed

# Student's t that is exceeded either way 5 times in 100, for 1 to 9 degrees of freedom (NIST/SEMATECH e-Handbook 1.3.6.7.2).
STUDENT = (12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262)
NORMAL = 1.959964  # the same of the normal distribution: for ever more pieces


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


class Line(NamedTuple):
    """y = intercept + slope x, with standard errors, residual standard deviation, and R squared."""

    intercept: float
    slope: float
    intercept_error: float
    slope_error: float
    residual: float
    r_squared: float


class Curve(NamedTuple):
    """T_n = first x n^log2(rate): time of the first, and what a doubling leaves of it; its standard error."""

    first: float
    rate: float
    rate_error: float


def line(x: Sequence[float], y: Sequence[float]) -> Line:
    """Ordinary least squares through points, three or more (textbooks of statistics; held against NIST StRD "Norris").

    slope = Sxy / Sxx, s^2 = sum of squared residuals / (n - 2), se(slope) = s / sqrt(Sxx),
    se(intercept) = s sqrt(1/n + mean(x)^2 / Sxx). Raises ValueError for fewer points, or all at one x.
    """
    xs, ys = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    n = len(xs)
    spread = float(np.sum((xs - xs.mean()) ** 2))
    if n < FEWEST_POINTS or not spread:
        raise ValueError("a line needs three points, not all at one place")
    slope = float(np.sum((xs - xs.mean()) * (ys - ys.mean()))) / spread
    intercept = float(ys.mean()) - slope * float(xs.mean())
    left = float(np.sum((ys - intercept - slope * xs) ** 2))
    total = float(np.sum((ys - ys.mean()) ** 2))
    residual = math.sqrt(left / (n - 2))
    return Line(
        intercept,
        slope,
        residual * math.sqrt(1 / n + float(xs.mean()) ** 2 / spread),
        residual / math.sqrt(spread),
        residual,
        1 - left / total if total else 1.0,
    )


def learning_curve(number: Sequence[int], times: Sequence[float]) -> Curve:
    """Crawford's unit curve through times of repeats: least squares of ln T on ln n, rate = 2^slope.

    se(rate) = rate ln 2 se(slope). Raises ValueError as `line` does.
    """
    found = line([math.log(n) for n in number], [math.log(time) for time in times])
    rate = 2.0**found.slope
    return Curve(math.exp(found.intercept), rate, rate * math.log(2) * found.slope_error)


class Pooled(NamedTuple):
    """Mean of the values that pieces show, their standard deviation, the standard error of the mean, and how many they are."""

    mean: float
    spread: float
    error: float
    pieces: int

    def tells_from(self, old: float) -> bool:
        """True where the pieces are enough, and their mean is not what it was by chance."""
        return self.pieces >= FEWEST_PIECES and abs(self.mean - old) > SURE * self.error


def pooled(values: Sequence[float]) -> Pooled:
    """Mean, sample standard deviation s, and standard error t / 2 s / sqrt(n): 0 for a single value, which tells none.

    t is Student's, so that two of these errors hold the true mean 95 times in 100 for three pieces as for thirty (for many,
    t / 2 s / sqrt(n) is s / sqrt(n)); the plain s / sqrt(n) of three pieces would hold it 82 times.
    """
    n, mean = len(values), float(np.mean(values))
    if n < 2:
        return Pooled(mean, 0.0, 0.0, n)
    spread = float(np.std(values, ddof=1))
    return Pooled(mean, spread, student(n - 1) / 2 * spread / math.sqrt(n), n)


def student(freedom: int) -> float:
    """Student's t that is exceeded either way 5 times in 100.

    Beyond the table z + (z^3 + z) / 4f + (5 z^5 + 16 z^3 + 3 z) / 96 f^2 + (3 z^7 + 19 z^5 + 17 z^3 - 15 z) / 384 f^3
    (Abramowitz and Stegun 26.7.5, from memory).
    """
    if freedom <= len(STUDENT):
        return STUDENT[freedom - 1]
    z, f = NORMAL, freedom
    second, third = 5 * z**5 + 16 * z**3 + 3 * z, 3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z
    return z + (z**3 + z) / (4 * f) + second / (96 * f**2) + third / (384 * f**3)
