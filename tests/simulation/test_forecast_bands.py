"""Simulated builds against their forecasts: stated bands hold the truth as often as they say, and rounds are foreseen ever better.

Builds come from a generator of its own (`builds`), which shares no line with the model: it reads the ranges of job and shop,
draws hidden truths, and plays the trade's equations round by round with noise as `[logged]` states it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from sharing import DAY
from simulation.builds import played
from simulation.forecasts import forecast, watched
from simulation.spec import JOB, Range, spec
from simulation.truths import likely

from quoting import runs
from quoting.job.load import load

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from simulation.forecasts import Forecast, Watched

SEED, BUILDS, SOME = 2028, 2000, 24
DRAWS = 400  # for a band after a round; every build has its own, so their errors even out over builds
MOST_DRAWS = 20_000  # for the band before the build, which all builds share; as the tool draws by itself
BEFORE, AFTER = (0.77, 0.83), (0.75, 0.85)
FEW = 0.15  # of all builds that have a round: of 2,000, below it a share of 0.8 has a standard error above 2.3 %
STATED = 0.8


def test_the_generator_costs_a_build_as_planned_like_the_plan() -> None:
    """Two ways to one figure: the generator's arithmetic and the model's, to the cent of each of its lines."""
    plan = runs.price(JOB, None, DAY)
    assert played(spec(), likely(spec())).cost == pytest.approx(
        float(plan.cost["planned"]), abs=0.005 * len(plan.lines)
    )


def test_the_generator_draws_beta_pert() -> None:
    """Mean (a + 4 m + b) / 6 and variance (mean - a) (b - mean) / 7 of beta-PERT (Vose, Risk Analysis, from memory)."""
    given, rng = Range(1.0, 2.0, 5.0), np.random.default_rng(SEED)
    drawn = np.array([given.drawn(rng) for _ in range(20_000)])
    mean = (1 + 4 * 2 + 5) / 6
    variance = (mean - 1) * (5 - mean) / 7
    assert abs(drawn.mean() - mean) < 4 * math.sqrt(variance / len(drawn))
    assert drawn.var() == pytest.approx(variance, rel=0.04)
    assert drawn.min() >= 1
    assert drawn.max() <= 5


@pytest.mark.parametrize("number", [SOME, pytest.param(BUILDS, marks=pytest.mark.exhaustive)])
def test_bands_hold_the_truth_and_rounds_are_foreseen_ever_better(number: int) -> None:
    """One test, for its builds are made once: 2,000 of them, each forecast after every round; or some, whose shares are given three
    standard errors beside.
    """
    plan, brief = runs.price(JOB, None, DAY), load(JOB)
    first = forecast(plan, brief, [], SEED, MOST_DRAWS)
    builds = watched(plan, brief, spec(), SEED, number, DRAWS)
    room = 3 if number < BUILDS else 0
    assert _within([first.holds(one.cost) for one in builds], BEFORE, room)
    assert not list(_out_of_bounds(builds, room))
    _rounds_foreseen(builds, first, every=number == BUILDS)


def _within(held: list[bool], bounds: tuple[float, float], errors: float) -> bool:
    """Whether a share lies in its bounds, or so many standard errors of a share of 0.8 beside them."""
    room = errors * math.sqrt(STATED * (1 - STATED) / len(held))
    return bounds[0] - room <= _share(held) <= bounds[1] + room


def _out_of_bounds(builds: list[Watched], errors: float) -> Iterator[str]:
    """Shares of bands after a round that are not between 75 and 85 %: of all builds that have such a round, also where the slab is
    done with it and the rest of the ledge is still to be made, and of those whose slab goes on.
    """
    for words, least in (("all", 0), ("that go on", 1)):
        few: list[bool] = []
        for number in range(1, max(one.rounds for one in builds) + 1):
            held = [one.after[number - 1].holds(one.cost) for one in builds if one.rounds >= number + least]
            if len(held) < FEW * len(builds):
                few += held
            elif not _within(held, AFTER, errors):
                yield f"after round {number}, {words}: {_share(held):.3f} of {len(held)}"
        # the last rounds, which few builds have, are judged together and given two standard errors of their share
        if few and not _within(few, AFTER, max(errors, 2 if len(few) < FEW * len(builds) else 0)):
            yield f"after the last rounds, {words}: {_share(few):.3f} of {len(few)}"


def _rounds_foreseen(builds: list[Watched], first: Forecast, every: bool) -> None:
    """The mean absolute error of rounds over all builds never rises, and is at most half of the first at half the rounds. All
    builds count at every round: of a slab that is marked as done the number is known. From `every` round to the next only many
    builds tell it; of some, the last error is below the first.
    """
    errors = [_error(builds, [first.rounds] * len(builds))]
    errors += [
        _error(builds, [one.forecast(number).rounds for one in builds])
        for number in range(1, max(one.rounds for one in builds) + 1)
    ]
    assert errors == sorted(errors, reverse=True) if every else errors[-1] < errors[0]
    at_half = _error(builds, [one.forecast(one.rounds // 2).rounds for one in builds])
    assert at_half <= errors[0] / 2


def _error(builds: list[Watched], rounds: list[float]) -> float:
    return float(np.mean([abs(said - one.rounds) for one, said in zip(builds, rounds, strict=True)]))


def _share(held: Iterable[bool]) -> float:
    return float(np.mean(list(held)))
