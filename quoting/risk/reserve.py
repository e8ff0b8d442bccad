"""The reserve that 8 in 10 builds would need."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.model import cost
from quoting.pick import likely

if TYPE_CHECKING:
    from quoting.inputs.brief import Brief
    from quoting.risk.drawn import Drawn
    from quoting.values import Num

P80 = 0.80


def reserve(planned: float, drawn: Num) -> float:
    """The reserve [money]: the 80 % quantile of drawn cost, less planned cost, never below zero."""
    return float(np.maximum(np.quantile(drawn, P80) - planned, 0.0))


def drawn_reserve(brief: Brief, run: Drawn) -> float:
    """The reserve of a job whose draws are there [money]: both sides unrounded."""
    return reserve(float(cost(brief, likely).planned), run.planned)
