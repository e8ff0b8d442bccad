"""What every line of a build will have cost in the end."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quoting.costing.lines import PACKS, Line
from quoting.costing.model import FINISHING, Spans
from quoting.costing.shared import trip_beyond
from quoting.declaration import COATING, FINISH, LAY_UP
from quoting.forecast.build import Build, Stop, quantities, so_far, stopped, whole
from quoting.logbook.filled import Filled, following, follows, rates_paid, stage_hours
from quoting.logbook.plan_lines import TRIP, WAITING_GROUP, of_stage
from quoting.takeoff.numbers import total
from quoting.trades.registry import chain_of
from quoting.values import Num, Pick, key

CERTAIN = 1e-9  # of a quantity: draws that differ by no more do not differ


def amounts_at_end(
    build: Build, whole: Mapping[str, Num], still: Mapping[str, Num], there: Mapping[str, Line], beyond: Num
) -> dict[str, Num]:
    """Cost of every line in the end [money]: material at what was paid for it, where that is known, else at the plan's rate;
    of other lines what is logged stands, and what is `still` not, done or to be done, at the plan's rate.
    """
    paid = rates_paid(build.lines)
    amounts: dict[str, Num] = {}
    for one in build.lines:
        line = one.line
        if follows(line):
            continue
        rate = there[line.id].rate if line.id in there else line.rate
        if line.material and not is_lump(one):
            free = line.supplied == "client"
            amounts[line.id] = 0.0 if free else whole[line.id] * paid.get(key(line.item), rate)
        else:
            amounts[line.id] = float(one.amount) + still[line.id] * rate
        if line.id == TRIP and not one.logged:
            amounts[line.id] = amounts[line.id] + beyond
    hours: Num = total(whole[one.line.id] for one in build.lines if one.line.of_people)
    materials: Num = total(amounts[one.line.id] for one in build.lines if one.line.material)
    rest = following(build.lines, hours, materials)
    return amounts | {line.id: quantity * line.rate for line, quantity in rest}


def is_lump(one: Filled) -> bool:
    """True for material that was paid for without a count: it is bought."""
    return one.line.material and one.lump


@dataclass(frozen=True, slots=True)
class Ends:
    """Draws of the end of a build: by line id the quantity taken so far, recorded or not, what is still to come, and the whole
    cost [money]; days still to go, and of them those of the bench [d]. All broadcast to (draws,).
    """

    had: Mapping[str, Num]
    to_go: Mapping[str, Num]
    amounts: Mapping[str, Num]
    days: Num
    bench_days: Num

    @property
    def cost(self) -> Num:
        """What the piece will have cost [money]."""
        return total(self.amounts.values())


def ends(build: Build, pick: Pick, stop: Stop | None = None) -> Ends:
    """The end of a build whose inputs are read through `pick`.

    What is logged stands; what a line still takes comes from the model: of lines that grow by rounds, the whole less what
    the rounds so far take in the same draw; of others, the whole less what is logged, unless they are behind the piece.
    With `stop`, one laminate ends after so many more rounds.
    """
    run = whole(build, pick)
    gone = {back: so_far(build, pick, back) for back in {0, *map(build.line_rounds, build.by_round)}}
    begun = {back: quantities(one) for back, one in gone.items()}
    last = stopped(build, pick, stop) if stop is not None else None
    there = {line.id: line for line in run.lines}
    ended = quantities(last) if last is not None else {}
    used = {one.line.id: taken(one, build.progress.behind(one.line)) for one in build.lines}
    to_go: dict[str, Num] = {}
    unrecorded: dict[str, Num] = {}
    for one in build.lines:
        id = one.line.id
        model = there[id].quantity if id in there else one.line.quantity
        if stop is not None and id.endswith(PACKS):
            model = ended[id]
        if id not in build.by_round:
            rest = _rest(build, one, model)
            missing = rest if build.progress.passed(one.line) else 0.0
        else:
            end = ended[id] if stop is not None and id.startswith(f"laminate.{stop.part}.") else model
            now, covered = begun[0][id], begun[build.line_rounds(id)][id]
            # material behind the piece of which only the purchase is known took what was bought
            recorded = one.quantity > one.spoiled or is_lump(one) or used[id] > one.quantity
            missing = now - covered if recorded else now
            rest = missing + np.maximum(end - now, 0.0) * _as_logged(one, covered)
        closed = build.progress.closed(one.line)
        unrecorded[id] = 0.0 if closed else missing
        to_go[id] = 0.0 if closed else rest - missing
    _take_stage_hours(to_go, unrecorded, build)
    had = {id: used[id] + unrecorded[id] for id in used}
    at_end = {id: had[id] + to_go[id] for id in had}
    pressing = (last or run).needed.chains.get("lay-up", 0.0)
    if build.pressed:
        pressing = np.maximum(pressing - gone[0].needed.chains.get("lay-up", 0.0), 0.0)
    spans = run.spans(build.brief.shop.shop.week.hours)._replace(lay_up=pressing)
    left = _left(build, spans, to_go)
    still = {id: unrecorded[id] + to_go[id] for id in to_go}
    return Ends(
        had=had,
        to_go=to_go,
        amounts=amounts_at_end(build, at_end, still, there, trip_beyond(build.brief, pick)),
        days=left.bench + left.after,
        bench_days=left.bench,
    )


def _rest(build: Build, one: Filled, model: Num) -> Num:
    """What a line still takes that does not grow by rounds. A setback that happened does not happen again."""
    line = one.line
    behind = build.progress.behind(line)
    if line.trade == "setback":
        return 0.0 if one.logged or behind else model
    if line.by_others or line.trade in ("carriage", WAITING_GROUP) or line.id == TRIP:
        return 0.0 if one.logged else model
    if build.progress.closed(line) or (behind and one.logged) or is_lump(one):
        return 0.0
    return np.maximum(model - (one.quantity - one.spoiled), 0.0)


def _as_logged(one: Filled, covered: Num) -> float:
    """How a line that grows by rounds runs against the model where the files leave no range for it: as the log shows it."""
    used, expected = one.quantity - one.spoiled, np.asarray(covered)
    certain = float(np.ptp(expected)) <= CERTAIN * float(np.max(expected))
    return used / float(np.max(expected)) if used > 0 and certain and np.any(expected) else 1.0


def taken(one: Filled, behind: bool) -> float:
    """Quantity that a line has taken so far: once it is behind the piece, what was bought where no use was logged."""
    only_bought = one.line.material and behind and not one.quantity
    return max(one.bought, 0.0) if only_bought else one.quantity


def _take_stage_hours(to_go: dict[str, Num], unrecorded: dict[str, Num], build: Build) -> None:
    """Hours of which only the stage is known record its tasks: what those must have taken already, and then, in proportion,
    what the stage has left.
    """
    for stage, hours in stage_hours(build.lines).items():
        mine = [
            one.line.id for one in build.lines
            if one.line.trade == "labour" and one.line.stage == stage and not of_stage(one.line)
        ]  # fmt: skip
        behind, left = (total(of[id] for id in mine) for of in (unrecorded, to_go))
        unrecorded.update(dict.fromkeys(mine, 0.0))
        share = np.maximum(1 - np.maximum(hours - behind, 0.0) / np.maximum(left, 1e-9), 0.0)
        to_go.update({id: to_go[id] * share for id in mine})


def _left(build: Build, spans: Spans, to_go: Mapping[str, Num]) -> Spans:
    """Days still to go [d], as the model fills them: labour left at the hours of a week, rounds left with their cures."""
    week = build.brief.shop.shop.week.hours
    hours: dict[bool, Num] = {True: 0.0, False: 0.0}
    for one in build.lines:
        if one.line.of_people:
            last = one.line.stage == FINISHING
            hours[last] = hours[last] + to_go[one.line.id]
    ahead = [one.line for one in build.lines if not build.progress.passed(one.line)]
    chains = {chain_of(line.trade) for line in ahead}
    return Spans(
        hours[False] / week * 7,
        spans.lay_up if LAY_UP in chains else 0.0,
        hours[True] / week * 7,
        spans.coating if COATING in chains else 0.0,
        spans.finish if FINISH in chains else 0.0,
    )


def spread_out(values: Num, count: int) -> NDArray[np.float64]:
    """Draws as an array of shape (count,), whatever became of them."""
    return np.broadcast_to(np.asarray(values, dtype=np.float64), (count,))
