"""Every part of a job with its trade: its take-off, what is impossible, what is doubtful, how pieces alike count, and what shape it has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from quoting.declaration import fault
from quoting.errors import Problem, nearest
from quoting.pick import likely
from quoting.takeoff.labour import acts
from quoting.takeoff.needs import Doubt, TakeOff, doubt
from quoting.takeoff.numbers import NOISE, TOLERANCE, area_m2, crosses_itself, with_own_times
from quoting.trades.registry import trades
from quoting.unread import holes_of, hollow, judged, replaced
from quoting.values import Pick

if TYPE_CHECKING:
    from quoting.job.job import Job
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables

SIZES = ("length", "width", "thickness", "depth", "sheet_length", "sheet_width", "roll_width")
"""Sizes that may not be nothing, whatever has them."""


def parts(job: Job) -> Iterator[tuple[str, Any]]:
    """Every part of a job with its trade, in printed order."""
    for trade in trades():
        for part in job.parts.get(trade, ()):
            yield trade, part


def take_off(trade: str, part: Any, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """The take-off of a part, by the equations of its trade."""
    one = trades()[trade]
    found: TakeOff = one.named(one.take_off)(part, shop, tables, pick)
    if one.outside:
        known = {group.name for group in one.groups}
        for need in found.needs:
            if need.kind not in ("labour", "machine") and need.trade not in known:
                words = f'a line of a group "{need.trade}" that it does not declare'
                raise fault(need.id, one.outside, words)
    return found


def _asked(trade: str, what: str, part: Any, shop: Shop, tables: Tables) -> Iterable[Any]:
    """What a trade says of a part where it says anything: its problems, its doubts."""
    one = trades()[trade]
    name = getattr(one, what)
    return one.named(name)(part, shop, tables) if name else ()


def problems(job: Job, shop: Shop, tables: Tables) -> list[Problem]:
    """What makes parts impossible to reckon: a size of nothing, else what their trade says, as far as fields can be read."""
    found: list[Problem] = []
    for trade, part in parts(job):
        sizes = (name for name in SIZES if name not in holes_of(part))
        nothing = [
            Problem.of(f"{trade}.{part.id}.{name}", "found 0", "write a size above zero", "zero")
            for name in sizes
            if getattr(part, name, None) == 0
        ]
        found += nothing or judged(_impossible(trade, part, shop, tables))
    return found


def _impossible(trade: str, part: Any, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """What the trade of a part says; where that is nothing, the times that it gives for nothing."""
    own = False
    for problem in _asked(trade, "problems", part, shop, tables):
        own = True
        yield problem
    if not own:
        yield from _idle_times(trade, part, shop, tables)


def _idle_times(trade: str, part: Any, shop: Shop, tables: Tables) -> list[Problem]:
    """Times that a part gives for operations it does not have: they would vanish unseen."""
    if not part.standard:
        return []
    one = take_off(trade, part, shop, tables, likely)
    own = {need.operation for need in one.needs if need.operation}
    can = [name for name, standard in shop.standard.items() if acts(name, standard, trade, one)]
    found = "found a time for an operation that makes no line on this part"
    idle = [name for name in part.standard if name in shop.standard and name not in {*can, *own}]
    advice = (
        nearest(name, [*can, *own]) if can or own else "leave it out, or write [[work]]" for name in idle
    )
    return [
        Problem.of(f"{trade}.{part.id}.standard.{name}", found, wanted, "idle")
        for name, wanted in zip(idle, advice, strict=True)
    ]


def surfaces(job: Job, shop: Shop, tables: Tables) -> list[tuple[str, float]]:
    """Parts that a finish goes on, of timber, sheets and panels, each with the area of all its sides and its like [m2]."""
    return [
        (part.part, _surface_m2(trade, part, shop, tables))
        for trade, part in parts(job)
        if trades()[trade].shaped or trades()[trade].pressed
    ]


def _surface_m2(trade: str, part: Any, shop: Shop, tables: Tables) -> float:
    """What is sanded of a part, where its trade counts that; else 2 (length x width + (length + width) x thickness)."""
    if "m2" in trades()[trade].drivers:
        return float(take_off(trade, part, shop, tables, likely).drivers["m2"])
    edges = (part.length + part.width) * (part.thickness or 0.0)
    return float(2 * (part.length * part.width + edges) * getattr(part, "quantity", 1))


def doubts(job: Job, shop: Shop, tables: Tables) -> list[Doubt]:
    """What the maker should look at again in the parts."""
    own = [found for trade, part in parts(job) for found in _asked(trade, "doubts", part, shop, tables)]
    return [*own, *_larger_than_the_piece(job)]


def _larger_than_the_piece(job: Job) -> Iterator[Doubt]:
    """Parts that fit into the piece in no direction: a slip of a unit, or of the size of the piece."""
    sides = (job.piece.length, job.piece.width, job.piece.height)
    if any(side is None for side in sides):
        return
    most = math.hypot(*(side for side in sides if side is not None))
    for trade, part in parts(job):
        long = getattr(part, "length", None)
        if trades()[trade].solid and isinstance(long, float) and long > most * (1 + TOLERANCE):
            words = "{long:length} is longer than the piece across its corners, {most:length}"
            yield doubt("longer_than_piece", f"{trade}.{part.id}.length", words, long=long, most=most)


def several(trade: str, part: Any, copies: int) -> tuple[Any, int]:
    """The part as all pieces together need it, and how often its take-off is still to be counted.

    Counted things are multiplied before the take-off, so that ten parts share a sheet; panels, castings and coats are each made
    by themselves, and their take-off counts `copies` times. A trade may multiply in its own way.
    """
    one = trades()[trade]
    if copies == 1 or one.alike == "each":
        return part, copies
    if one.alike == "own":
        return one.named(one.several)(part, copies), 1
    return with_own_times(replace(part, quantity=part.quantity * copies), copies), 1


def with_outlines(job: Job) -> tuple[Job, list[Problem]]:
    """The job with the area of every outline as the area of its shape, and outlines that are none."""
    problems: list[Problem] = []

    def shaped(path: str, part: Any) -> Any:
        if hollow(part):
            problems.extend(judged(_faults(path, part)))
            return part
        if part.outline is None:
            return part
        corners = part.outline  # the first may be said again at the end
        closed = len(corners) > 1 and corners[0] == corners[-1]
        part = replace(part, outline=corners[:-1] if closed else corners)
        problems.extend(_faults(path, part))
        return replace(part, shape_area=area_m2(part.outline))

    changed = {
        trade: tuple(shaped(f"{trade}.{part.id}", part) for part in given)
        for trade, given in job.parts.items()
        if trades()[trade].shaped
    }
    return replaced(job, parts={**job.parts, **changed}), problems


def _faults(path: str, part: Any) -> Iterator[Problem]:
    if part.outline is None:
        return
    xs, ys = zip(*part.outline, strict=True)
    long, wide = max(xs) - min(xs), max(ys) - min(ys)
    if part.shape_area is not None:
        yield Problem.of(f"{path}.outline", "found an outline and shape_area", "write one of them", "one_of")
    if long > part.length * (1 + NOISE) or wide > part.width * (1 + NOISE):
        words = f"found {long * 1000:.4g} x {wide * 1000:.4g} mm, more than length x width"
        yield Problem.of(
            f"{path}.outline",
            words,
            "write the length and width of the rectangle around it",
            "no_fit",
            long=long * 1000,
            wide=wide * 1000,
        )
    if crosses_itself(part.outline) or area_m2(part.outline) == 0:
        yield Problem.of(
            f"{path}.outline", "found an outline that crosses itself", "write its corners in turn", "shape"
        )
