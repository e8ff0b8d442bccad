"""Arithmetic and plane geometry that several trades share: the arithmetic takes numbers or arrays of draws."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from math import hypot, sqrt
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar, cast

import numpy as np

from quoting.values import Num, Pick, Uncertain

if TYPE_CHECKING:
    from quoting.reading.fields import Part

P = TypeVar("P", bound="Part")
V = TypeVar("V")
Point: TypeAlias = tuple[float, float]

TOLERANCE = 1e-9  # relative: (0.007 + 0.002) / 0.0003 is 30, not 31
NOISE = 1e-9  # of lengths, slopes and shares along a side


def whole_up(ratio: Num) -> Num:
    """The least whole number that is not below `ratio`, rounding noise forgiven."""
    return cast("Num", np.ceil(ratio * (1 - TOLERANCE)))


def whole_down(ratio: Num) -> Num:
    """The greatest whole number that is not above `ratio`, rounding noise forgiven."""
    return cast("Num", np.floor(ratio * (1 + TOLERANCE)))


def total(numbers: Iterable[Num]) -> Num:
    """The sum of numbers or of arrays of draws; nothing of none."""
    return sum(numbers, start=np.float64(0))


def crawford_total(*, count: int, learning: Num) -> Num:
    """Time of so many repeats as a multiple of the first: 1 + 2^b + 3^b + ..., with b = log2(learning rate).

    Crawford's unit curve (J. R. Crawford, 1944; tables in operations-management textbooks).
    """
    exponent = np.log2(learning)
    return total(np.power(np.float64(k), exponent) for k in range(1, count + 1))


def days_of(hours: Num) -> Num:
    """Calendar days that work and the cure after it take before the next can start [d], at least one."""
    return cast("Num", np.maximum(np.ceil(hours / 24 * (1 - TOLERANCE)), 1.0))


def surfacing_h(*, area_m2: Num, stepover_m: Num, feed_m_per_h: Num, passes: Num) -> Num:
    """Machine time to cover a surface [h]: area / (stepover x feed) x passes."""
    return area_m2 / (stepover_m * feed_m_per_h) * passes


def first(*given: V | None) -> V:
    """The part's own value where it has one, else the shop's."""
    return next(value for value in given if value is not None)


def picked(pick: Pick, given: Uncertain | None) -> Num:
    """A value, or nothing where none was given."""
    return 0.0 if given is None else pick(given)


def times(given: Uncertain, factor: float) -> Uncertain:
    """A range multiplied; its name, and so its draws, stay the same."""
    return replace(given, low=given.low * factor, likely=given.likely * factor, high=given.high * factor)


def with_own_times(part: P, copies: int) -> P:
    """A time that the part itself gives is for one piece."""
    own = {
        name: times(time, copies) if isinstance(time, Uncertain) else time
        for name, time in part.standard.items()
    }
    return replace(part, standard=own)


def area_m2(corners: Sequence[Point]) -> float:
    """Area within corners given in turn [m2]: half the sum of x1 y2 - x2 y1 (Meister 1769, "the surveyor's formula")."""
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in _sides(corners))) / 2


def interlocked_m(corners: Sequence[Point], gap_m: float) -> float:
    """Width of a blank that holds two such shapes, one turned end for end, nowhere nearer to one another than a gap [m].

    With upper edge f(x), length l and gap g it is the largest f(x) + f(l - x - t) + root(g^2 - t^2) with t from -g to g: the turned
    one lies above the first with its own edge downwards, and points that are t apart along the grain are root(g^2 - t^2) apart
    across it. Between corners all edges are straight, so that it stands where one of them is a corner; there t is such that both
    are, or that the edge is met squarely, t = g a / root(1 + a^2) at a slope a, or an end (plane geometry).
    """
    left, low = min(x for x, _ in corners), min(y for _, y in corners)
    moved = [(x - left, y - low) for x, y in corners]
    ends = {x for x, _ in moved}
    length = max(ends)
    slopes = {(y2 - y1) / (x2 - x1) for (x1, y1), (x2, y2) in _sides(moved) if abs(x2 - x1) > NOISE}
    square = {gap_m * a / hypot(1.0, a) for a in slopes}
    shifts = {0.0, gap_m, -gap_m} | square | {-t for t in square}
    shifts |= {t for x1 in ends for x2 in ends if abs(t := length - x1 - x2) <= gap_m}
    return max(
        _upper(moved, x) + _upper(moved, length - x - t) + sqrt(max(gap_m**2 - t**2, 0.0))
        for t in shifts
        for x in ends | {length - t - end for end in ends}
        if -NOISE <= x <= length + NOISE and -NOISE <= length - x - t <= length + NOISE
    )


def _upper(corners: Sequence[Point], x: float) -> float:
    """The upper edge of a shape at a length: the highest point of all its sides there."""
    found = 0.0
    for (x1, y1), (x2, y2) in _sides(corners):
        if min(x1, x2) - NOISE <= x <= max(x1, x2) + NOISE:
            part = (x - x1) / (x2 - x1) if abs(x2 - x1) > NOISE else 0.0
            high = max(y1, y2) if abs(x2 - x1) <= NOISE else y1 + (y2 - y1) * part
            found = max(found, high)
    return found


def crosses_itself(corners: Sequence[Point]) -> bool:
    """True where two sides that are no neighbours meet."""
    sides = list(_sides(corners))
    last = len(sides) - 1
    return any(
        _meet(*sides[i], *sides[j])
        for i, j in combinations(range(len(sides)), 2)
        if j - i > 1 and not (i == 0 and j == last)
    )


def pair_m(part: Any, kerf_m: float, allowance_m: float) -> float:
    """Width of a blank for two shapes of a part, interlocked [m]; 0 where two blanks are no wider."""
    if part.outline is None:
        return 0.0
    width = interlocked_m(part.outline, kerf_m + allowance_m) + allowance_m
    return width if width < 2 * (part.width + allowance_m) + kerf_m else 0.0


def _sides(corners: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    return zip(corners, [*corners[1:], corners[0]], strict=True)


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True where the lines a-b and c-d have a point in common, ends included."""
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(turn == 0 and _within(*end) for turn, end in zip(turns, ends, strict=True))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _within(a: Point, b: Point, c: Point) -> bool:
    """True where c, on the line of a and b, lies between them."""
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])
