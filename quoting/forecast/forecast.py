"""Where a piece in its build stands: what is still to come, how it ends, what it teaches, what to decide and to buy."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.forecast.build import Build, Done, Earned, done_so_far, earned
from quoting.forecast.decisions import Choice, Panel, ToBuy, choices, panels, to_buy
from quoting.forecast.ends import Ends, ends, spread_out
from quoting.forecast.learnt import Learnt, Lesson, learnt
from quoting.logbook.piece import Contract, contract_of
from quoting.logbook.plan_lines import task_of
from quoting.measures import unit
from quoting.pick import draws, known, likely, listening, one_at_a_time
from quoting.pricing.record import PricedLine
from quoting.risk.drawn import Chance, Quantile, chance, first_order, quantiles
from quoting.takeoff.numbers import total
from quoting.values import LITRE_M3, Num, Pick, Uncertain

LEAST_DRIVER = 0.005  # of what is unsure, that is worth a line
LEAST_LESSON = 0.02  # of what was unsure
LEAST_HOURS = 0.05


def with_setbacks(build: Build, pick: Pick, done: float) -> Pick:
    """A pick whose coins know how far the piece is. `done` is the share of the work that is behind it.

    A chance p spread evenly over the work leaves 1 - (1 - p)^(1 - done) for the rest of it. What happened does not happen
    again: its cost stands as logged.
    """
    came = (one.line.id for one in build.lines if one.line.trade == "setback" and one.logged)
    happened = {f"{id.rpartition('.')[0]}.chance" for id in came}
    nothing = known(dict.fromkeys(happened, 0.0), pick)

    def read(given: Uncertain) -> Num:
        if given.coin and given.name not in happened:
            return pick(replace(given, likely=1 - (1 - given.likely) ** (1 - done)))
        return nothing(given)

    return read


class Held(NamedTuple):
    """Draws of a build as it is held now: the pick that reads them, the inputs it was asked for, what was learnt."""

    pick: Pick
    asked: dict[str, Uncertain]
    streams: dict[str, NDArray[np.float64]]
    learnt: Learnt
    done: Done


def held_now(build: Build, seed: int, count: int) -> Held:
    """Draws of every input of a build, read as the entries have taught."""
    taught = learnt(build, seed, count)
    middle = known({name: taught.after.middle(name) for name in taught.after.names}, likely)
    done = done_so_far(build, middle)
    asked: dict[str, Uncertain] = {}
    streams: dict[str, NDArray[np.float64]] = {}
    pick = with_setbacks(build, known(taught.streams, draws(seed, count, streams)), done.hours)
    streams.update(taught.streams)
    return Held(listening(pick, asked), asked, streams, taught, done)


class Driver(NamedTuple):
    """An input that is still unsure, its range in the files, and its share of what is unsure of the cost in the end."""

    name: str
    words: str
    share: float


def drivers(build: Build, now: Held, cost: NDArray[np.float64]) -> tuple[Driver, ...]:
    """Inputs that what is still to come rests on, by their share of the variance of the cost (first-order Sobol index); what was
    learnt together shares it.
    """
    inputs = list(now.asked.values())
    one_by_one = spread_out(ends(build, one_at_a_time(inputs)).cost, 2 * len(inputs))
    moving = {one.name for i, one in enumerate(inputs) if one_by_one[2 * i] != one_by_one[2 * i + 1]}
    found = [
        Driver(name, build.brief.written(name), first_order(now.streams[name], cost))
        for name in now.asked
        if name in now.streams and name in moving and len(now.streams[name]) == len(cost)
    ]
    return tuple(sorted((one for one in found if one.share >= LEAST_DRIVER), key=lambda one: -one.share))


class ToGo(NamedTuple):
    """What is still to come: hours of people, mixed resin [L], film [m2], days until it is done [d]."""

    labour_h: tuple[Quantile, ...]
    resin_l: tuple[Quantile, ...]
    film_m2: tuple[Quantile, ...]
    days: tuple[Quantile, ...]


class TaskToGo(NamedTuple):
    """Hours still to come of a task, over all parts, in the middle of what can be [h]."""

    name: str
    hours: float


class Forecast(NamedTuple):
    """Where a piece stands. Costs are those of the finished piece [money]; `quoted` is the margin that the price was made
    with, its reserve counted as cost, `planned` that of the plan without it. `spent` is the cost so far.
    """

    seed: int
    draws: int
    contract: Contract
    quoted: Decimal
    planned: float | None
    planned_cost: float
    spent: float
    done: Done
    cost: tuple[Quantile, ...]
    margins: tuple[float | None, ...]
    loses: Chance | None
    to_go: ToGo
    tasks: tuple[TaskToGo, ...]
    panels: tuple[Panel, ...]
    lessons: tuple[Lesson, ...]
    drivers: tuple[Driver, ...]
    earned: Earned | None
    choices: tuple[Choice, ...]
    buying: tuple[ToBuy, ...]


def forecast(build: Build, day: date, seed: int, count: int) -> Forecast:
    """Where a piece stands at the end of a day, by draws of its whole build."""
    now = held_now(build, seed, count)
    end = ends(build, now.pick)
    cost = spread_out(end.cost, count)
    contract, plan = contract_of(build.piece), build.piece.plan
    spread = quantiles(cost)
    there = panels(build, now.pick, count)
    planned = float(plan.planned_cost)
    spent = sum(float(one.amount) for one in build.lines)
    return Forecast(
        seed=seed,
        draws=count,
        contract=contract,
        quoted=build.piece.sold.chain.margin,
        planned=contract.margin(planned),
        planned_cost=planned,
        spent=spent,
        done=now.done,
        cost=spread,
        margins=tuple(contract.margin(one.value) for one in spread),
        loses=chance(cost > float(contract.left)) if contract.net else None,
        to_go=_to_go(build, end, count),
        tasks=_tasks(build, end, count),
        panels=there,
        lessons=now.learnt.lessons(build, LEAST_LESSON),
        drivers=drivers(build, now, cost),
        earned=_earned(build, now.done, planned, spent, day),
        choices=tuple(choices(build, there, now.pick, contract, count)),
        buying=to_buy(build, end, there, day, count),
    )


def _to_go(build: Build, end: Ends, count: int) -> ToGo:
    def summed(wanted: Callable[[PricedLine], bool], size: float = 1.0) -> tuple[Quantile, ...]:
        those = [one.line for one in build.lines if wanted(one.line)]
        amounts = (
            end.to_go[line.id] * (unit(line.unit).factor if line.unit != "h" else 1.0) for line in those
        )
        return quantiles(spread_out(total(amounts) / size, count))

    def measured(line: PricedLine, ending: str, dimension: str) -> bool:
        return line.id.endswith(ending) and unit(line.unit).dimension == dimension

    return ToGo(
        labour_h=summed(lambda line: line.of_people),
        resin_l=summed(lambda line: measured(line, ".resin", "volume"), LITRE_M3),
        film_m2=summed(lambda line: measured(line, ".film", "area")),
        days=quantiles(spread_out(end.days, count)),
    )


def _tasks(build: Build, end: Ends, count: int) -> tuple[TaskToGo, ...]:
    sums: dict[str, Num] = {}
    for one in build.lines:
        if one.line.trade == "labour":
            name = task_of(one.line).replace("-", " ").replace("_", " ")
            sums[name] = sums.get(name, 0.0) + end.to_go[one.line.id]
    middles = {name: float(np.median(spread_out(hours, count))) for name, hours in sums.items()}
    found = [TaskToGo(name, hours) for name, hours in middles.items() if hours >= LEAST_HOURS]
    return tuple(sorted(found, key=lambda one: -one.hours))


def _earned(build: Build, done: Done, planned: float, spent: float, day: date) -> Earned | None:
    """Earned value beside the forecast; None before anything is done. Planned value: the plan, by the days of its bench."""
    piece = build.piece
    start = piece.standing.entry.day if piece.standing.entry is not None else piece.quote.face.day
    days = piece.plan.quantities
    waited = (day - start).days - (days["lead_days"] - days["bench_days"])
    share = min(max(waited / days["bench_days"], 0.0), 1.0) if days["bench_days"] else 1.0
    if done.worth <= 0 or spent <= 0:
        return None
    return earned(bac=planned, ev=done.worth, ac=spent, pv=planned * share)
