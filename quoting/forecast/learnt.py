"""What a piece in its build has taught about its uncertain inputs, beside what the model expected, and draws of them."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.forecast.build import Build, facts, quantities, so_far, whole
from quoting.job.standards import dimension_at
from quoting.logbook.filled import Filled
from quoting.logbook.pressed import LayingTime, Pressed
from quoting.pick import draws, known, likely, listening
from quoting.risk.updating import Belief, held, moved, updated
from quoting.takeoff.numbers import first, total
from quoting.trades.laminate.plies import ply_thickness
from quoting.trades.laminate.rounds import lay_up
from quoting.values import Num, Pick, Uncertain


class Runs:
    """Runs of the model with one pick, each made once: of the whole piece, and of what is pressed so far."""

    def __init__(self, build: Build, pick: Pick) -> None:
        self.pick = known(facts(build), pick)
        self._whole = cache(lambda: quantities(whole(build, pick)))
        self._so_far = cache(lambda back: quantities(so_far(build, pick, back)))

    def whole(self, id: str) -> Num:
        """The quantity of a line of the whole piece; nothing for a line that the model lacks."""
        return self._whole().get(id, 0.0)

    def so_far(self, id: str, back: int = 0) -> Num:
        """The quantity of a line after the rounds pressed so far, or `back` rounds before."""
        return self._so_far(back).get(id, 0.0)


class Measure(NamedTuple):
    """A measured value, how far it may be off (a standard deviation, as a share of it), and what the model expects."""

    value: float
    spread: float
    expected: Callable[[Runs], Num]


def measures(build: Build) -> list[Measure]:
    """Everything that was measured on a piece and that its uncertain inputs can explain."""
    found = [one for mine in build.pressed for one in _of_laminate(build, mine)]
    runs = Runs(build, likely)
    for one in build.lines:
        value = one.quantity - one.spoiled
        if not one.logged or value <= 0 or one.line.id.endswith(".laying"):
            continue
        measure = _of_line(build, one, value)
        if measure is not None and float(measure.expected(runs)) > 0:
            found.append(measure)
    return found


def _of_line(build: Build, one: Filled, value: float) -> Measure | None:
    """A line that is behind the piece, or that grows by rounds and was logged so far."""
    line, spread = one.line, build.brief.shop.logged
    if line.trade == "labour":
        share = spread.hours
    elif line.material:
        share = spread.used
    else:
        return None
    panel = build.panel_of(line.id)
    if line.id in build.by_round and panel is not None:
        back = build.line_rounds(line.id)
        share /= math.sqrt(max(panel.rounds - back, 1))
        return Measure(value, share, lambda runs: runs.so_far(line.id, back))
    return Measure(value, share, lambda runs: runs.whole(line.id)) if build.progress.behind(line) else None


def _of_laminate(build: Build, mine: Pressed) -> Iterator[Measure]:
    """Thickness over so many plies, and laying times of rounds."""
    spread = build.brief.shop.logged
    for height in mine.heights:
        yield Measure(height.laid_m, spread.thickness / height.laid_m, _thickness(build, mine, height.plies))
    for span in mine.laying:
        rounds = span.last - span.before
        yield Measure(span.hours, spread.hours / math.sqrt(rounds), _laying(build, mine, span))


def _thickness(build: Build, mine: Pressed, plies: int) -> Callable[[Runs], Num]:
    ply = first(ply_thickness(mine.part, build.brief.shop))
    return lambda runs: plies * runs.pick(ply)


def _laying(build: Build, mine: Pressed, span: LayingTime) -> Callable[[Runs], Num]:
    """Hours of laying in a span of rounds, by the plies that were laid in it."""
    left = replace(mine.part, thickness=0.0, flatten=())
    share = span.plies / ((span.last - span.before) * mine.plies / mine.rounds)

    def hours(runs: Runs) -> Num:
        lay = lay_up(left, build.brief.shop, build.brief.tables, runs.pick)
        rounds = lay.rounds[span.before : span.last]
        time: Num = total(one.laying_h for one in rounds)
        return time * share * runs.pick(build.brief.shop.pace.factor)

    return hours


class Lesson(NamedTuple):
    """An input before and now: what half of all builds stay below, and the standard deviation as a share of it.

    Values are in the canonical unit of its `dimension`.
    """

    name: str
    words: str
    dimension: str
    before: float
    before_spread: float
    now: float
    now_spread: float


class Learnt(NamedTuple):
    """Belief before and after what was measured; draws of what was learnt and of all else, arrays of shape (draws,)."""

    before: Belief
    after: Belief
    streams: Mapping[str, NDArray[np.float64]]

    def lessons(self, build: Build, least: float) -> tuple[Lesson, ...]:
        """Inputs of which the entries tell something: less unsure by at least this share. The surest gain comes first."""
        brief, before, after = build.brief, self.before, self.after
        found = [
            Lesson(
                name=name,
                words=brief.written(name),
                dimension=dimension_at(brief, name),
                before=before.middle(name),
                before_spread=before.spread(name),
                now=after.middle(name),
                now_spread=after.spread(name),
            )
            for name in before.names
        ]
        gained = [one for one in found if one.now_spread <= one.before_spread * (1 - least)]
        return tuple(sorted(gained, key=lambda one: one.now_spread / one.before_spread))


def learnt(build: Build, seed: int, count: int) -> Learnt:
    """Update what is held of the inputs that bear on anything measured.

    Inputs that may be nothing have no logarithm, and coins no middle: those are left as they are.
    """
    watched = measures(build)
    asked: dict[str, Uncertain] = {}
    runs = Runs(build, listening(likely, asked))
    for one in watched:
        one.expected(runs)
    streams: dict[str, NDArray[np.float64]] = {}
    pick = draws(seed, count, streams)
    names = sorted(name for name, given in asked.items() if not given.coin and given.low > 0)
    for name in names:
        pick(replace(asked[name], cause=None))
    before = held(streams, names)

    def expected(values: Mapping[str, Num]) -> Sequence[Num]:
        run = Runs(build, known(values, likely))
        return [one.expected(run) for one in watched]

    after = updated(before, expected, [one.value for one in watched], [one.spread for one in watched])
    return Learnt(before, after, moved(before, after, streams))
