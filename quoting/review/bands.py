"""How often finished pieces fell within the bands that draws of their job give, and how wide ranges should have been."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.risk.drawn import drawn, seed_and_draws

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.forecast.build import Build
    from quoting.review.statement import Statement

WITHIN = (0.10, 0.90)
NORMAL_80 = 2.563103131089201  # of the standard normal distribution: from its 10 % to its 90 % quantile


class Band(NamedTuple):
    """A finished piece: the band in which 8 in 10 builds were to cost, its middle, and what it cost [money]."""

    number: str
    low: float
    middle: float
    high: float
    actual: float

    @property
    def held(self) -> bool:
        """True where the cost fell within the band."""
        return self.low <= self.actual <= self.high


class Calibration(NamedTuple):
    """Bands of finished pieces; the `share` that fell within, and the `width` that bands should have had for 8 in 10: 1 is
    right, 2 twice as wide. None where there is no piece, or no spread.
    """

    bands: tuple[Band, ...]
    share: float | None
    width: float | None


def calibration(statements: Sequence[tuple[Build, Statement]]) -> Calibration:
    """Draw each job as it was agreed in the end, and hold its cost against what it was.

    width = root mean square of (actual - middle) / (band / 2.563): bands are as wide as a normal distribution's that has the
    standard deviation by which the pieces really missed their middle.
    """
    found = []
    for build, was in statements:
        run = drawn(build.brief, *seed_and_draws(build.brief))
        low, middle, high = (float(np.quantile(run.cost, level)) for level in (WITHIN[0], 0.5, WITHIN[1]))
        found.append(Band(str(build.piece.number), low, middle, high, float(was.cost)))
    spread = [one for one in found if one.high > one.low]
    misses = [((one.actual - one.middle) / ((one.high - one.low) / NORMAL_80)) ** 2 for one in spread]
    return Calibration(
        tuple(found),
        sum(one.held for one in found) / len(found) if found else None,
        math.sqrt(sum(misses) / len(misses)) if misses else None,
    )
