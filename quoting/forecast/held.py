"""What is held of every input of a build now, what drives its cost from here on, and setbacks that become less likely."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.forecast.earned import done_so_far
from quoting.forecast.ends import ends, spread_out
from quoting.forecast.learnt import learnt
from quoting.pick import draws, known, likely, listening, one_at_a_time
from quoting.risk.drawn import first_order

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from quoting.forecast.build import Build
    from quoting.forecast.earned import Done
    from quoting.forecast.learnt import Learnt
    from quoting.logbook.filled import Filled
    from quoting.values import Num, Pick, Uncertain


LEAST = 0.005  # share that is worth a line


def with_setbacks(build: Build, pick: Pick, done: float) -> Pick:
    """A pick whose coins know how far the piece is. `done` is the share of the work that is behind it.

    A chance p spread evenly over the work leaves 1 - (1 - p)^(1 - done) for the rest of it. What happened does not happen
    again: its cost stands as logged.
    """
    happened = {f"{one.line.id.rpartition('.')[0]}.chance" for one in build.lines if _came(one)}
    nothing = known(dict.fromkeys(happened, 0.0), pick)

    def read(given: Uncertain) -> Num:
        if given.coin and given.name not in happened:
            return pick(replace(given, likely=1 - (1 - given.likely) ** (1 - done)))
        return nothing(given)

    return read


def _came(one: Filled) -> bool:
    return one.line.trade == "setback" and one.logged


class Held(NamedTuple):
    """Draws of a build as it is held now: the pick that reads them, the inputs it was asked for, what was learnt."""

    pick: Pick
    heard: dict[str, Uncertain]
    streams: dict[str, NDArray[np.float64]]
    learnt: Learnt
    done: Done


def held_now(build: Build, seed: int, count: int) -> Held:
    """Draws of every input of a build, read as the entries have taught."""
    taught = learnt(build, seed, count)
    middle = known({name: taught.after.middle(name) for name in taught.after.names}, likely)
    done = done_so_far(build, middle)
    heard: dict[str, Uncertain] = {}
    streams: dict[str, NDArray[np.float64]] = {}
    pick = with_setbacks(build, known(taught.streams, draws(seed, count, streams)), done.hours)
    streams.update(taught.streams)
    return Held(listening(pick, heard), heard, streams, taught, done)


class Driver(NamedTuple):
    """An input that is still unsure, its range in the files, and its share of what is unsure of the cost in the end."""

    name: str
    words: str
    share: float


def drivers(build: Build, now: Held, cost: NDArray[np.float64]) -> tuple[Driver, ...]:
    """Inputs by their share of the variance of the cost (first-order Sobol index); what was learnt together shares it."""
    moving = _still_moving(build, list(now.heard.values()))
    found = [
        Driver(name, build.brief.written(name), first_order(now.streams[name], cost))
        for name in now.heard
        if name in now.streams and name in moving and len(now.streams[name]) == len(cost)
    ]
    return tuple(sorted((one for one in found if one.share >= LEAST), key=lambda one: -one.share))


def _still_moving(build: Build, inputs: list[Uncertain]) -> set[str]:
    """Inputs that what is still to come rests on: one run moves each by itself."""
    moved = spread_out(ends(build, one_at_a_time(inputs)).cost, 2 * len(inputs))
    return {one.name for i, one in enumerate(inputs) if moved[2 * i] != moved[2 * i + 1]}
