"""Shaped parts: the area of an outline, and what no outline can be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from math import hypot, sqrt
from typing import TYPE_CHECKING, Any

from quoting.errors import Problem
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from quoting.job.job import Job

    Point = tuple[float, float]

NOISE = 1e-9


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


def with_outlines(job: Job) -> tuple[Job, list[Problem]]:
    """The job with the area of every outline as the area of its shape, and outlines that are none."""
    problems: list[Problem] = []
    changed: dict[str, tuple[Any, ...]] = {}
    for trade, given in job.parts.items():
        if not trades()[trade].shaped:
            continue
        parts = []
        for part in given:
            if part.outline is not None:
                part = replace(part, outline=_open(part.outline))
                problems += _faults(f"{trade}.{part.id}", part)
                part = replace(part, shape_area=area_m2(part.outline))
            parts.append(part)
        changed[trade] = tuple(parts)
    return replace(job, parts={**job.parts, **changed}), problems


def pair_m(part: Any, kerf_m: float, allowance_m: float) -> float:
    """Width of a blank for two shapes of a part, interlocked [m]; 0 where two blanks are no wider."""
    if part.outline is None:
        return 0.0
    width = interlocked_m(part.outline, kerf_m + allowance_m) + allowance_m
    return width if width < 2 * (part.width + allowance_m) + kerf_m else 0.0


def _open(corners: tuple[Point, ...]) -> tuple[Point, ...]:
    """The corners without the first one said again at the end."""
    return corners[:-1] if len(corners) > 1 and corners[0] == corners[-1] else corners


def _faults(path: str, part: Any) -> Iterator[Problem]:
    xs, ys = zip(*part.outline, strict=True)
    long, wide = max(xs) - min(xs), max(ys) - min(ys)
    if part.shape_area is not None:
        yield Problem(f"{path}.outline", "found an outline and shape_area", "write one of them")
    if long > part.length * (1 + NOISE) or wide > part.width * (1 + NOISE):
        words = f"found {long * 1000:.4g} x {wide * 1000:.4g} mm, more than length x width"
        yield Problem(f"{path}.outline", words, "write the length and width of the rectangle around it")
    if crosses_itself(part.outline) or area_m2(part.outline) == 0:
        yield Problem(f"{path}.outline", "found an outline that crosses itself", "write its corners in turn")


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
