"""Planned against actual hours, task by task, and a laminate's rounds as planned and as they were."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from quoting.logbook.names import of_stage, task_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.forecast.build import Build
    from quoting.review.lines import Spent


class Task(NamedTuple):
    """Hours of a task over all parts [h]: as planned, as the rounds pressed should have taken, and as they were.

    Hours of which only the stage is known stand beside the tasks of that stage that nobody logged.
    """

    name: str
    planned: float
    standard: float
    actual: float


class RoundWas(NamedTuple):
    """A round of a laminate: thickness at its end [m] and laying time [h], planned and actual; None where nobody said."""

    number: int
    planned_m: float | None
    actual_m: float | None
    planned_h: float | None
    actual_h: float | None


def stages_logged(lines: Sequence[Spent]) -> set[str]:
    """Stages of which hours were logged without a task."""
    return {one.line.stage for one in lines if of_stage(one.line)}


def stage_of(one: Spent, stages: set[str]) -> str:
    """The stage whose hours stand for a line of labour: its own hours, or a task that nobody logged; else ""."""
    line = one.line
    stands = line.trade == "labour" and line.stage in stages and (of_stage(line) or not one.recorded)
    return line.stage if stands else ""


def tasks(lines: Sequence[Spent]) -> tuple[Task, ...]:
    """Every task of people, the one with the most hours first."""
    stages = stages_logged(lines)
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    for one in lines:
        if one.line.trade not in ("labour", "setback") or one.line.measure != "h":
            continue
        name = one.line.part if one.line.trade == "setback" else task_of(one.line).replace("-", " ")
        if stage := stage_of(one, stages):
            name = f"{stage} work"
        for i, hours in enumerate((one.line.quantity, one.standard_quantity, one.quantity)):
            sums[name][i] += hours
    found = (Task(name, *hours) for name, hours in sums.items() if any(hours))
    return tuple(sorted(found, key=lambda one: -max(one.planned, one.actual)))


def rounds(build: Build) -> dict[str, tuple[RoundWas, ...]]:
    """The rounds of every laminate that is begun, by its name."""
    found = {}
    for card in build.piece.plan.bench:
        mine = next((one for one in build.pressed if card.path == f"laminate.{one.id}"), None)
        if mine is None:
            continue
        heights = {one.round: one.thickness_m for one in mine.heights}
        laying = {one.last: (one.hours / (one.last - one.before), one.before) for one in mine.laying}
        each = {n: hours for last, (hours, before) in laying.items() for n in range(before + 1, last + 1)}
        planned = {one.number: one for one in card.rounds}
        found[card.part] = tuple(
            RoundWas(
                n,
                planned[n].height_m if n in planned else None,
                heights.get(n),
                planned[n].laying_h if n in planned else None,
                each.get(n),
            )
            for n in range(1, max(len(planned), mine.rounds) + 1)
        )
    return found
