"""What drives the cost of a build from here on."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.forecast.ends import ends, spread_out
from quoting.pick import one_at_a_time
from quoting.risk.drawn import first_order

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from quoting.forecast.build import Build
    from quoting.forecast.held import Held
    from quoting.values import Uncertain

LEAST = 0.005  # share that is worth a line


class Driver(NamedTuple):
    """An input that is still unsure, its range in the files, and its share of what is unsure of the cost in the end."""

    name: str
    words: str
    share: float


def drivers(build: Build, now: Held, cost: NDArray[np.float64]) -> tuple[Driver, ...]:
    """Inputs by their share of the variance of the cost (first-order Sobol index); what was learnt together shares it."""
    moving = _still_moving(build, list(now.heard.values()))
    found = [
        Driver(name, build.brief.written(name), first_order(now.streams[name], cost))
        for name in now.heard
        if name in now.streams and name in moving and len(now.streams[name]) == len(cost)
    ]
    return tuple(sorted((one for one in found if one.share >= LEAST), key=lambda one: -one.share))


def _still_moving(build: Build, inputs: list[Uncertain]) -> set[str]:
    """Inputs that what is still to come rests on: one run moves each by itself."""
    moved = spread_out(ends(build, one_at_a_time(inputs)).cost, 2 * len(inputs))
    return {one.name for i, one in enumerate(inputs) if moved[2 * i] != moved[2 * i + 1]}
