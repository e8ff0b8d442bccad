"""How a run reads its uncertain inputs. Runs differ in nothing else."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from operator import attrgetter
from typing import TYPE_CHECKING

from quoting.values import Num, Pick, Uncertain

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def _with_cause(raw: Callable[[Uncertain], Num]) -> Pick:
    """A pick whose value is multiplied by the factor of the input's cause, where it has one."""

    def pick(given: Uncertain) -> Num:
        return raw(given) if given.cause is None else raw(given) * raw(given.cause)

    return pick


likely: Pick = _with_cause(attrgetter("likely"))
"""The plan: every input at its likely value; a coin at its chance, so that it weighs as expected."""


def draws(seed: int, count: int, drawn: dict[str, NDArray[np.float64]] | None = None) -> Pick:
    """Every uncertain input drawn many times between its ends, most often near its likely value.

    Beta-PERT: alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low)
    (Vose, Risk Analysis, from memory). What happens or not, such as a setback, is tossed for at its chance.

    An input that several lines read is drawn once, and moves them together; so does a cause all inputs that name it.
    Each has a stream of its own, by its name and the seed: a new input moves no other's draws.

    Shapes: arrays of shape (count,), coins as 0 or 1; `drawn` is filled with what was drawn, by the inputs' names.
    """
    import numpy as np

    drawn = {} if drawn is None else drawn

    def draw(given: Uncertain) -> Num:
        if given.low == given.high and not given.coin:
            return given.likely
        if given.name not in drawn:
            stream = np.random.default_rng([seed, *hashlib.sha256(given.name.encode()).digest()])
            if given.coin:
                drawn[given.name] = (stream.random(count) < given.likely).astype(float)
            else:
                width = given.high - given.low
                alpha = 1 + 4 * (given.likely - given.low) / width
                drawn[given.name] = given.low + width * stream.beta(alpha, 6 - alpha, count)
        return drawn[given.name]

    return _with_cause(draw)


def one_at_a_time(inputs: list[Uncertain]) -> Pick:
    """A run of shape (2 n,) that moves one of `n` inputs at a time: low in slot 2 i, high in 2 i + 1."""
    import numpy as np

    slots = {given.name: 2 * i for i, given in enumerate(inputs)}

    def move(given: Uncertain) -> Num:
        if given.name not in slots:
            return given.likely
        values = np.full(2 * len(inputs), given.likely)
        values[slots[given.name]], values[slots[given.name] + 1] = given.low, given.high
        return values

    return _with_cause(move)


def listening(pick: Pick, heard: dict[str, Uncertain]) -> Pick:
    """The same pick, which also notes by name every input it reads that is not fixed."""

    def noting(given: Uncertain) -> Num:
        for one in filter(None, (given, given.cause)):
            if one.low != one.high:
                heard[one.name] = one
        return pick(given)

    return noting


def known(actuals: Mapping[str, Num], otherwise: Pick) -> Pick:
    """A run in which some inputs are known, by name: numbers, or arrays of draws; the others are read as ever.

    A cause may be known by its own name; an input that is known still moves with its cause.
    """

    def read(given: Uncertain) -> Num:
        if given.name in actuals:
            return actuals[given.name]
        return otherwise(given if given.cause is None else replace(given, cause=None))

    return _with_cause(read)
