"""Small pieces of arithmetic that several trades share. All take numbers or arrays of draws."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar, cast

import numpy as np

from quoting.values import Num, Pick, Uncertain

if TYPE_CHECKING:
    from quoting.reading.fields import Part

P = TypeVar("P", bound="Part")

TOLERANCE = 1e-9  # relative: (0.007 + 0.002) / 0.0003 is 30, not 31


def whole_up(ratio: Num) -> Num:
    """The least whole number that is not below `ratio`, rounding noise forgiven."""
    return cast("Num", np.ceil(ratio * (1 - TOLERANCE)))


def whole_down(ratio: Num) -> Num:
    """The greatest whole number that is not above `ratio`, rounding noise forgiven."""
    return cast("Num", np.floor(ratio * (1 + TOLERANCE)))


def crawford_total(*, count: int, learning: Num) -> Num:
    """Time of so many repeats as a multiple of the first: 1 + 2^b + 3^b + ..., with b = log2(learning rate).

    Crawford's unit curve (J. R. Crawford, 1944; tables in operations-management textbooks).
    """
    exponent = np.log2(learning)
    total = sum((np.power(np.float64(k), exponent) for k in range(1, count + 1)), start=np.float64(0))
    return cast("Num", total)


def days_of(hours: Num) -> Num:
    """Calendar days that work and the cure after it take before the next can start [d], at least one."""
    return cast("Num", np.maximum(np.ceil(hours / 24 * (1 - TOLERANCE)), 1.0))


def surfacing_h(*, area_m2: Num, stepover_m: Num, feed_m_per_h: Num, passes: Num) -> Num:
    """Machine time to cover a surface [h]: area / (stepover x feed) x passes."""
    return area_m2 / (stepover_m * feed_m_per_h) * passes


def first(*given: Uncertain | None) -> Uncertain:
    """The part's own value where it has one, else the shop's."""
    return next(value for value in given if value is not None)


def picked(pick: Pick, given: Uncertain | None) -> Num:
    """A value, or nothing where none was given."""
    return 0.0 if given is None else pick(given)


def times(given: Uncertain | None, factor: float) -> Uncertain | None:
    """A range multiplied; its name, and so its draws, stay the same."""
    if given is None:
        return None
    return replace(given, low=given.low * factor, likely=given.likely * factor, high=given.high * factor)


def with_own_times(part: P, copies: int) -> P:
    """A time that the part itself gives is for one piece."""
    own = {
        name: (times(time, copies) or time) if isinstance(time, Uncertain) else time
        for name, time in part.standard.items()
    }
    return replace(part, standard=own)
