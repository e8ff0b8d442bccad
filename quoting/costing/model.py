"""The model: a brief and a pick in, cost out. Every run of every command reads this one function."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.lines import lines
from quoting.costing.needs import needed
from quoting.costing.shared import labour_hours, shared_lines

if TYPE_CHECKING:
    from quoting.costing.lines import Line
    from quoting.costing.needs import Needed
    from quoting.inputs.brief import Brief
    from quoting.values import Num, Pick


@dataclass(frozen=True, slots=True)
class Cost:
    """Cost of a job, unrounded: numbers for a plan, arrays of shape (draws,) for draws."""

    needed: Needed
    lines: tuple[Line, ...]

    @property
    def planned(self) -> Num:
        """Sum of all lines [money]."""
        return sum((line.amount for line in self.lines), start=np.float64(0))

    @property
    def labour_h(self) -> Num:
        """Labour hours [h]."""
        return labour_hours(self.lines)

    @property
    def machine_h(self) -> Num:
        """Machine hours [h]."""
        return sum((line.quantity for line in self.lines if line.group == "machine"), start=np.float64(0))

    def bench_days(self, week_hours: float) -> Num:
        """Calendar days until the piece is done [d].

        The larger of the labour at so many hours in a week, and the chain of stages one after the
        other, each as long as its slowest part with its cures: lay-up and casting, then coating, then
        finish. Cures run on through weekends.
        """
        chain = sum(self.needed.chains.values(), start=np.float64(0))
        return np.maximum(self.labour_h / week_hours * 7, chain)


def cost(brief: Brief, pick: Pick) -> Cost:
    """What the job costs when its uncertain inputs are read through `pick`."""
    found = needed(brief, pick)
    own = lines(found.needs, brief, pick)
    return Cost(found, (*own, *shared_lines(own, found.needs, brief, pick)))
