"""The table of trades: what takes a part off, what makes it impossible, what casts doubt on it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.errors import Problem, nearest
from quoting.pick import likely
from quoting.takeoff import (
    bought,
    casting,
    coating,
    finish,
    glass,
    hardwood,
    hardwood_checks,
    laminate,
    laminate_checks,
    metal,
    sheet,
    work,
)
from quoting.takeoff.labour import acts
from quoting.takeoff.numbers import TOLERANCE
from quoting.takeoff.record import Doubt
from quoting.values import basis

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from quoting.job.job import Job
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.takeoff.record import TakeOff
    from quoting.values import Pick


def _none(*_: object) -> Iterable[Any]:
    return ()


class Trade(NamedTuple):
    """What a trade offers the model."""

    take_off: Callable[[Any, Shop, Tables, Pick], TakeOff]
    problems: Callable[[Any, Shop, Tables], Iterable[Problem]] = _none
    doubts: Callable[[Any, Shop, Tables], Iterable[Doubt]] = _none


TRADES: dict[str, Trade] = {
    "hardwood": Trade(hardwood.take_off, hardwood_checks.problems, hardwood_checks.doubts),
    "sheet": Trade(sheet.take_off, sheet.problems, sheet.doubts),
    "laminate": Trade(laminate.take_off, laminate_checks.problems, laminate_checks.doubts),
    "casting": Trade(casting.take_off, casting.problems, lambda part, shop, _: casting.doubts(part, shop)),
    "coating": Trade(coating.take_off, coating.problems, lambda part, shop, _: coating.doubts(part, shop)),
    "finish": Trade(finish.take_off, finish.problems),
    "glass": Trade(glass.take_off, glass.problems, lambda part, *_: glass.doubts(part)),
    "metal": Trade(metal.take_off, metal.problems),
    "buy": Trade(bought.buy_take_off, bought.buy_problems),
    "outwork": Trade(bought.outwork_take_off),
    "work": Trade(work.work_take_off, work.work_problems),
    "machine": Trade(work.machine_take_off, work.machine_problems),
    "setback": Trade(bought.setback_take_off),
}


def parts(job: Job) -> Iterator[tuple[str, Any]]:
    """Every part of a job with its trade, in printed order."""
    for trade in TRADES:
        for part in getattr(job, trade):
            yield trade, part


SOLID = ("hardwood", "sheet", "laminate", "glass")
SIZES = ("length", "width", "thickness", "depth", "sheet_length", "sheet_width", "roll_width")


def problems(job: Job, shop: Shop, tables: Tables) -> list[Problem]:
    """What makes parts impossible to reckon: a size of nothing, else what their trade says."""
    found: list[Problem] = []
    for trade, part in parts(job):
        nothing = [name for name in SIZES if getattr(part, name, None) == 0]
        if nothing:
            found += [
                Problem(f"{trade}.{part.id}.{name}", "found 0", "write a size above zero") for name in nothing
            ]
        else:
            own = list(TRADES[trade].problems(part, shop, tables))
            found += own or _idle_times(trade, part, shop, tables)
    return found


def _idle_times(trade: str, part: Any, shop: Shop, tables: Tables) -> list[Problem]:
    """Times that a part gives for operations it does not have: they would vanish unseen."""
    if not part.standard:
        return []
    one = TRADES[trade].take_off(part, shop, tables, likely)
    own = {need.operation for need in one.needs if need.operation}
    can = [name for name, standard in shop.standard.items() if acts(name, standard, trade, one)]
    return [
        Problem(
            f"{trade}.{part.id}.standard.{name}",
            "found a time for an operation that makes no line on this part",
            nearest(name, [*can, *own]) if can or own else "leave it out, or write [[work]]",
        )
        for name in part.standard
        if name in shop.standard and name not in can and name not in own
    ]


def doubts(job: Job, shop: Shop, tables: Tables) -> list[Doubt]:
    """What the maker should look at again in the parts."""
    own = [found for trade, part in parts(job) for found in TRADES[trade].doubts(part, shop, tables)]
    return [*own, *_larger_than_the_piece(job)]


def _larger_than_the_piece(job: Job) -> Iterator[Doubt]:
    """Parts that fit into the piece in no direction: a slip of a unit, or of the size of the piece."""
    sides = (job.piece.length, job.piece.width, job.piece.height)
    if any(side is None for side in sides):
        return
    most = math.hypot(*(side for side in sides if side is not None))
    for trade, part in parts(job):
        long = getattr(part, "length", None)
        if trade in SOLID and isinstance(long, float) and long > most * (1 + TOLERANCE):
            words = "{long:length} is longer than the piece across its corners, {most:length}"
            yield Doubt("longer_than_piece", f"{trade}.{part.id}.length", basis(words, long=long, most=most))
