"""What draws tell: the reserve that 8 in 10 builds would need."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.model import cost
from quoting.pick import draws, likely

if TYPE_CHECKING:
    from quoting.inputs.brief import Brief
    from quoting.values import Num

P80 = 0.80


def reserve(planned: float, drawn: Num) -> float:
    """The reserve [money]: the 80 % quantile of drawn cost, less planned cost, never below zero."""
    return float(np.maximum(np.quantile(drawn, P80) - planned, 0.0))


def drawn_reserve(brief: Brief, seed: int, count: int) -> tuple[float, dict[str, float]]:
    """The reserve of a job [money], and the share of draws that each bound held back."""
    run = cost(brief, draws(seed, count))
    drawn = np.broadcast_to(run.planned, (count,))
    clipped = {name: float(np.mean(held)) for name, held in run.needed.clipped.items()}
    return reserve(float(cost(brief, likely).planned), drawn), {n: s for n, s in clipped.items() if s > 0}
