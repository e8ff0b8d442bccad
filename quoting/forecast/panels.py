"""Each laminate of a piece in its build: how far it is, and the chances of the plies and rounds it still needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.forecast.build import facts
from quoting.forecast.ends import spread_out
from quoting.pick import known
from quoting.risk.quantiles import quantiles
from quoting.takeoff.rounds import lay_up

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from quoting.forecast.build import Build
    from quoting.risk.quantiles import Quantile
    from quoting.values import Pick


class Panel(NamedTuple):
    """A laminate: rounds pressed, plies laid, the last thickness measured [m] and over how many plies; the thickness wanted, with what is
    flattened off [m]; plies of a round to come; chances by plies and by rounds still needed; one ply [m].
    """

    id: str
    part: str
    rounds: int
    plies: int
    measured_m: float | None
    measured_plies: int
    wanted_m: float
    removed_m: float
    per_round: int
    plies_to_go: tuple[tuple[int, float], ...]
    rounds_to_go: tuple[tuple[int, float], ...]
    ply_m: tuple[Quantile, ...]


def panels(build: Build, pick: Pick, count: int) -> tuple[Panel, ...]:
    """Every laminate that is not done, as draws see it."""
    run = known(facts(build), pick)
    found = []
    for part in build.brief.job.laminate:
        ahead = [one for one in build.lines if one.line.id == f"laminate.{part.id}.laying"]
        if not ahead or build.progress.behind(ahead[0].line) or part.id in build.ended:
            continue
        lay = lay_up(part, build.brief.shop, build.brief.tables, run)
        mine = next((one for one in build.pressed if one.id == part.id), None)
        rounds, plies = (mine.rounds, mine.plies) if mine is not None else (0, 0)
        last = mine.last if mine is not None else None
        removed = float(np.mean(spread_out(lay.removed_m, count)))
        found.append(
            Panel(
                id=part.id,
                part=part.part,
                rounds=rounds,
                plies=plies,
                measured_m=last.thickness_m if last is not None else None,
                measured_plies=last.plies if last is not None else 0,
                wanted_m=part.thickness,
                removed_m=removed,
                per_round=int(np.median(spread_out(lay.per_round, count))),
                plies_to_go=chances(spread_out(lay.plies, count) - plies),
                rounds_to_go=chances(spread_out(lay.cycles, count) - rounds),
                ply_m=quantiles(spread_out(lay.ply_m, count)),
            )
        )
    return tuple(found)


def chances(counts: NDArray[np.float64]) -> tuple[tuple[int, float], ...]:
    """The share of draws, array of shape (draws,), that each whole number has."""
    values, times = np.unique(counts, return_counts=True)
    return tuple((int(value), float(n / len(counts))) for value, n in zip(values, times, strict=True))
