"""A straight line through points by least squares, and a learning curve through rounds."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

FEWEST = 3  # points: two lie on any line, and tell no error


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
    if n < FEWEST or not spread:
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
