"""What a few pieces say together: their mean, how far they spread, and how sure the mean is."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

FEWEST = 3  # pieces, before anything new is proposed
SURE = 2.0  # standard errors that a change must exceed

# Student's t that is exceeded either way 5 times in 100, for 1 to 9 degrees of freedom (NIST/SEMATECH e-Handbook 1.3.6.7.2).
STUDENT = (12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262)
NORMAL = 1.959964  # the same of the normal distribution: for ever more pieces


class Pooled(NamedTuple):
    """Mean of the values that pieces show, their standard deviation, the standard error of the mean, and how many they are."""

    mean: float
    spread: float
    error: float
    pieces: int

    def tells_from(self, old: float) -> bool:
        """True where the pieces are enough, and their mean is not what it was by chance."""
        return self.pieces >= FEWEST and abs(self.mean - old) > SURE * self.error


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
