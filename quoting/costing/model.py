"""The model: a brief and a pick in, cost out. Every run of every command reads this one function."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.costing.lines import Line, lines
from quoting.costing.needs import Needed, needed
from quoting.costing.shared import labour_hours, shared_lines
from quoting.declaration import COATING, FINISH, LAY_UP
from quoting.takeoff.numbers import total
from quoting.values import Num, Pick

if TYPE_CHECKING:
    from quoting.job.brief import Brief


FINISHING = "finishing"


class Spans(NamedTuple):
    """How long each thing that fills the days of a build takes by itself [d]."""

    labour: Num
    lay_up: Num
    finishing: Num
    coating: Num
    finish: Num

    @property
    def bench(self) -> Num:
        """The bench: its labour, or the slowest lay-up or casting with its cures, whichever is longer."""
        return np.maximum(self.labour, self.lay_up)

    @property
    def after(self) -> Num:
        """What follows: finishing labour, or the slowest flood coats and then the slowest finish."""
        return np.maximum(self.finishing, self.coating + self.finish)


@dataclass(frozen=True, slots=True)
class Cost:
    """Cost of a job, unrounded: numbers for a plan, arrays of shape (draws,) for draws."""

    needed: Needed
    lines: tuple[Line, ...]

    @property
    def planned(self) -> Num:
        """Sum of all lines [money]."""
        return total(line.amount for line in self.lines)

    @property
    def labour_h(self) -> Num:
        """Labour hours [h]."""
        return labour_hours(self.lines)

    @property
    def machine_h(self) -> Num:
        """Machine hours [h]."""
        return total(line.quantity for line in self.lines if line.group == "machine")

    @property
    def scrap(self) -> Num:
        """Timber, sheets, plies and bars that are bought and do not end up in the piece [money]."""
        return total(line.scrap for line in self.lines)

    def bench_days(self, week_hours: float) -> Num:
        """Calendar days until the piece is done [d].

        First the bench, where other work goes on while resin cures. Then what must follow one another:
        the slowest part with its flood coats, and the slowest with its finish, drying included.
        """
        spans = self.spans(week_hours)
        return spans.bench + spans.after

    @property
    def finishing_h(self) -> Num:
        """Labour hours of finishing [h]."""
        hours = (line.quantity for line in self.lines if line.group == "labour" and line.stage == FINISHING)
        return total(hours)

    def spans(self, week_hours: float) -> Spans:
        """What fills the days until the piece is done, labour at so many hours in a week."""
        chains = self.needed.chains
        return Spans(
            (self.labour_h - self.finishing_h) / week_hours * 7,
            chains.get(LAY_UP, 0.0),
            self.finishing_h / week_hours * 7,
            chains.get(COATING, 0.0),
            chains.get(FINISH, 0.0),
        )


def cost(brief: Brief, pick: Pick) -> Cost:
    """What the job costs when its uncertain inputs are read through `pick`."""
    found = needed(brief, pick)
    own = lines(found.needs, brief, pick)
    return Cost(found, (*own, *shared_lines(own, found.needs, brief, pick)))
