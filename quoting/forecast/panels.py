"""Each laminate of a piece in its build: how far it is, the plies and rounds it may still need, and what there is to decide."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.forecast.build import Build, Stop, facts
from quoting.forecast.ends import ends, spread_out
from quoting.logbook.piece import Contract
from quoting.pick import known
from quoting.risk.drawn import Quantile, quantiles
from quoting.trades.laminate import LAMINATE
from quoting.trades.laminate.rounds import lay_up
from quoting.values import Pick

MOST_ROUNDS_MORE = 2
HALF = 0.5


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
    for part in LAMINATE.of(build.brief.job):
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


class Choice(NamedTuple):
    """A laminate ended after so many `more` rounds (None: when it is as thick as planned, after so many `rounds`): its thickness
    after flattening [m], from the last one measured where there is one, the cost of the piece in the end [money], days still to go [d]; the middle margin of the price. `reaches` is
    the share of builds in which it is as thick as wanted.
    """

    part: str
    more: int | None
    rounds: int
    thickness_m: tuple[Quantile, ...]
    reaches: float
    cost: tuple[Quantile, ...]
    days: tuple[Quantile, ...]
    margin: float | None


def choices(
    build: Build, panel_list: Sequence[Panel], pick: Pick, contract: Contract, count: int
) -> Iterator[Choice]:
    """The choices of every laminate that is begun and not done; rounds that reach the planned thickness are one choice. None
    costs another price.
    """
    begun = {one.id for one in build.pressed}
    for panel in panel_list:
        if panel.id not in begun:
            continue
        part = next(part for part in LAMINATE.of(build.brief.job) if part.id == panel.id)
        lay = lay_up(part, build.brief.shop, build.brief.tables, known(facts(build), pick))
        needed = middle_rounds(panel)
        mine = next(one for one in build.pressed if one.id == panel.id).last
        for more in (*range(min(MOST_ROUNDS_MORE + 1, needed)), None):
            stop = None if more is None else Stop(panel.id, more, float(panel.per_round))
            end = ends(build, pick, stop)
            plies = lay.plies if more is None else panel.plies + more * float(panel.per_round)
            thick = plies * lay.ply_m if mine is None else mine.laid_m + (plies - mine.plies) * lay.ply_m
            thick = spread_out(thick - lay.removed_m, count)
            cost = quantiles(spread_out(end.cost, count))
            yield Choice(
                part=panel.part,
                more=more,
                rounds=needed if more is None else more,
                thickness_m=quantiles(thick),
                reaches=float(np.mean(thick >= part.thickness * (1 - 1e-9))),
                cost=cost,
                days=quantiles(spread_out(end.days, count)),
                margin=margin_left(contract, cost[1].value),
            )


def middle_rounds(panel: Panel) -> int:
    """Rounds still needed in the middle of what can be."""
    gone = 0.0
    for rounds, share in panel.rounds_to_go:
        gone += share
        if gone >= HALF:
            return rounds
    return 0


def margin_left(contract: Contract, cost: float) -> float | None:
    """Share of the net price that a cost leaves after fees; None where nothing comes in."""
    return (float(contract.net - contract.fees) - cost) / float(contract.net) if contract.net else None
