"""What the tool says of a build after each of its rounds, beside what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from logbook.logs import piece
from simulation.builds import played
from simulation.log import Logbook
from simulation.truths import drawn

from quoting.forecast.build import build_of
from quoting.forecast.decisions import panels
from quoting.forecast.ends import ends, spread_out
from quoting.forecast.forecast import held_now

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.spec import Spec

    from quoting.job.brief import Brief
    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced


class Forecast(NamedTuple):
    """The stated 80 % band of the cost in the end [money], and the number of rounds: each weighted by its stated chance. (The
    median of so few draws would jump a whole round wherever two numbers are about as likely.)
    """

    low: float
    high: float
    rounds: float

    def holds(self, cost: float) -> bool:
        """True where the truth lies in the band."""
        return self.low <= cost <= self.high


class Watched(NamedTuple):
    """A build: its true cost and rounds, and the forecast after each round."""

    cost: float
    rounds: int
    after: tuple[Forecast, ...]

    def forecast(self, number: int) -> Forecast:
        """What is said after so many rounds, or after all of them."""
        return self.after[min(number, self.rounds) - 1]


def forecast(plan: Priced, brief: Brief, log: Sequence[Entry], seed: int, draws: int) -> Forecast:
    """The forecast from a log."""
    build = build_of(piece(plan, log), brief)
    pick = held_now(build, seed, draws).pick
    low, high = np.quantile(spread_out(ends(build, pick).cost, draws), (0.1, 0.9))
    slab = next(iter(panels(build, pick, draws)), None)
    if slab is None:
        return Forecast(float(low), float(high), float(build.pressed[0].rounds))
    more = sum(rounds * chance for rounds, chance in slab.rounds_to_go)
    return Forecast(float(low), float(high), slab.rounds + more)


def watched(plan: Priced, brief: Brief, spec: Spec, seed: int, count: int, draws: int) -> list[Watched]:
    """So many builds. Each is forecast with draws of its own, so that what few draws miss is not missed alike by all."""
    book, found = Logbook(plan), []
    for number in range(count):
        build = played(spec, drawn(spec, seed, number))
        rounds = len(build.rounds)
        logs = (book.until(build, done) for done in range(1, rounds + 1))
        after = tuple(forecast(plan, brief, log, number, draws) for log in logs)
        found.append(Watched(build.cost, rounds, after))
    return found
