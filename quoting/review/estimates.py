"""What one finished piece says of the shop's standards: which one each line is put down to, and at which value the model gives its log."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from quoting.declaration import Section
from quoting.forecast.build import Build, quantities, so_far, whole
from quoting.forecast.ends import spread_out, taken
from quoting.job.standards import shops_own
from quoting.logbook.filled import Filled
from quoting.pick import known, likely, listening, one_at_a_time
from quoting.risk.updating import FEWEST_POINTS, learning_curve
from quoting.takeoff.numbers import first
from quoting.trades.laminate.plies import ply_thickness
from quoting.trades.registry import trades
from quoting.values import Num, Pick, Uncertain

PACE, LEARNING = "pace.factor", "laminate.learning"

LEAST_SWING = 1e-9
LEAST_RATE = 0.5  # a learning rate of a few rounds that seems steeper, or above 1, is noise
WORST_RATE_ERROR = 0.15  # standard error of a learning rate, of which the usual ones span 0.75 to 1: beyond it it tells nothing
STEPS = 4  # secant steps: lines are straight in nearly every input
FARTHEST = 20.0  # times the standard, either way: beyond it a log is no evidence of a standard


class Group(NamedTuple):
    """Lines whose difference is put down to one input, and the name that it is learnt under."""

    given: Uncertain
    name: str
    lines: list[str]
    taken: float


def recorded(build: Build) -> list[Filled]:
    """Lines behind the piece of which the ledger tells how much they took."""
    return [
        one
        for one in build.lines
        if (one.line.trade == "labour" or one.line.material)
        and one.logged
        and (build.progress.behind(one.line) or one.line.id in build.by_round)
        and (one.line.id in build.by_round or not _of_rounds(one))
        and _took(one) > 0
    ]


def _of_rounds(one: Filled) -> bool:
    """True for a line of what is pressed, whose rounds nobody logged one by one: what it took tells of rounds as much as of standards."""
    trade = trades().get(one.line.id.partition(".")[0])
    return trade is not None and bool(trade.pressed) and ".flatten-" not in one.line.id


def _kinds(one: Filled) -> Section[Any] | None:
    """The section of kinds with standards of their own, such as species of timber, that a line of material belongs to."""
    trade = trades().get(one.line.id.partition(".")[0])
    sections = trade.sections if trade is not None and one.line.material else ()
    return next((section for section in sections if section.usual), None)


def _took(one: Filled) -> float:
    """What a line took; of what has kinds, such as timber, what was bought for the piece where no use was logged."""
    return one.quantity if _kinds(one) is None else taken(one, behind=True)


def expected(build: Build, values: Mapping[str, Num]) -> dict[str, Num]:
    """Quantity of every line at values of inputs: of those that grow by rounds for the rounds pressed."""
    return _quantities(build, known(values, likely))


def _quantities(build: Build, pick: Pick) -> dict[str, Num]:
    found = quantities(whole(build, pick))
    begun = {
        back: quantities(so_far(build, pick, back)) for back in set(map(build.line_rounds, build.by_round))
    }
    return found | {id: begun[build.line_rounds(id)][id] for id in build.by_round}


def groups_of(build: Build, given: Mapping[str, float]) -> list[Group]:
    """Lines by the standard that their difference is put down to. `given` are values of inputs that are known, by name."""
    asked: dict[str, Uncertain] = {}
    _quantities(build, listening(known(given, likely), asked))
    inputs = [one for name, one in asked.items() if name != PACE and not one.coin]
    moved = _quantities(build, known(given, one_at_a_time(inputs)))
    found: dict[tuple[str, str], list[Filled]] = defaultdict(list)
    by_name = {one.name: one for one in inputs}
    for one in recorded(build):
        strongest = _strongest(one, moved, inputs)
        if strongest and shops_own(build.brief, strongest) and strongest != LEARNING:
            found[strongest, _learnt_as(build, strongest, one)].append(one)
    return [
        Group(by_name[source], name, [one.line.id for one in those], sum(_took(one) - one.spoiled for one in those))
        for (source, name), those in found.items()
    ]  # fmt: skip


def _strongest(one: Filled, moved: Mapping[str, Num], inputs: Sequence[Uncertain]) -> str:
    """The input that moves a line most from its low to its high; "" where none does."""
    if one.line.id not in moved:
        return ""
    ends = spread_out(moved[one.line.id], 2 * len(inputs))
    swings = np.abs(ends[1::2] - ends[0::2])
    return inputs[int(np.argmax(swings))].name if len(swings) and float(np.max(swings)) > LEAST_SWING else ""


def _learnt_as(build: Build, name: str, one: Filled) -> str:
    """The name a standard is learnt under: what kinds of a material have of their own is that of its kind."""
    kinds, (usual, _, standard) = _kinds(one), name.partition(".")
    if kinds is None or kinds.usual != usual:
        return name
    trade, id = one.line.id.split(".")[:2]
    if standard not in trades()[trade].named(kinds.record).__dataclass_fields__:
        return name
    alike = (p for p in build.brief.job.parts.get(trade, ()) if p.id == id and p.part == one.line.part)
    return next((f"{kinds.name}.{getattr(part, kinds.name)}.{standard}" for part in alike), name)


class Estimate(NamedTuple):
    """A standard as one piece shows it, in the canonical unit of its input."""

    name: str
    value: float


def estimates(build: Build, given: Mapping[str, float]) -> list[Estimate]:
    """All that a piece tells of the shop's standards. `given` are standards that were learnt before, by name."""
    measured = own_plies(build)
    values = {**given, **{name: value for name, _, value in measured}}
    plies = [Estimate(f"ply.{item}.thickness", value) for _, item, value in measured]
    return [*plies, *_learning(build), *_solved(build, groups_of(build, values), values)]


def pace_of(build: Build, given: Mapping[str, float]) -> float | None:
    """Hours that a piece took against those of the standards `given`, over the tasks that were logged; None where none were."""
    measured = {name: value for name, _, value in own_plies(build)}
    standard = expected(build, {**given, **measured, PACE: 1.0})
    mine = [one for one in recorded(build) if one.line.trade == "labour" and one.line.id in standard]
    hours = sum(float(standard[one.line.id]) for one in mine)
    return sum(one.quantity for one in mine) / hours if hours else None


def own_plies(build: Build) -> list[tuple[str, str, float]]:
    """Cured thickness of a ply [m] of every laminate that was measured: the name of its input, its first kind of ply, and least
    squares through the origin over the thicknesses measured.
    """
    found = []
    for mine in build.pressed:
        squares = sum(one.plies**2 for one in mine.heights)
        if squares:
            moments = (one.plies * one.laid_m for one in mine.heights)
            name = first(ply_thickness(mine.part, build.brief.shop)).name
            found.append((name, mine.part.ply[0], sum(moments) / squares))
    return found


def _learning(build: Build) -> Iterator[Estimate]:
    """Learning rates of laminates whose rounds were timed one by one."""
    for mine in build.pressed:
        single = [span for span in mine.laying if span.last - span.before == 1]
        if len(single) >= FEWEST_POINTS:
            curve = learning_curve([one.last for one in single], [one.hours / one.plies for one in single])
            if curve.rate_error <= WORST_RATE_ERROR:
                yield Estimate(LEARNING, min(max(curve.rate, LEAST_RATE), 1.0))


def _solved(build: Build, groups: list[Group], given: Mapping[str, float]) -> Iterator[Estimate]:
    """The value of each input at which its lines give what they took: one run a step moves every input in its own slot."""
    if not groups:
        return
    start = np.array([likely(replace(group.given, cause=None)) for group in groups])
    wanted = np.array([group.taken for group in groups])
    before, at = start, start * 1.05
    gives_before, gives = _gives(build, groups, before, given), _gives(build, groups, at, given)
    for _ in range(STEPS):
        slope = np.where(
            gives == gives_before, np.inf, (gives - gives_before) / np.where(at == before, 1.0, at - before)
        )
        step = np.clip(at + (wanted - gives) / slope, start / FARTHEST, start * FARTHEST)
        before, gives_before, at = at, gives, step
        gives = _gives(build, groups, at, given)
    for group, value, got, want in zip(groups, at, gives, wanted, strict=True):
        if abs(got - want) <= 1e-3 * want:
            yield Estimate(group.name, float(value))


def _gives(build: Build, groups: list[Group], at: np.ndarray, given: Mapping[str, float]) -> np.ndarray:
    """What the lines of each group take with its input moved in a slot of its own; an input may be learnt under several names."""
    slots = {one.given.name: np.full(len(groups), likely(replace(one.given, cause=None))) for one in groups}
    for i, group in enumerate(groups):
        slots[group.given.name][i] = at[i]
    found = {id: spread_out(n, len(groups)) for id, n in expected(build, {**given, **slots}).items()}
    return np.array([sum(float(found[id][i]) for id in one.lines) for i, one in enumerate(groups)])
