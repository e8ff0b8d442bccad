"""Whole stocks: from a linear programme the best of several ways, and how far a plan may be from the best there is."""

from collections.abc import Iterator, Sequence

import highspy
import numpy as np

from quoting.nesting.columns import FOREVER, Grown, Maker, entries, grown, quiet_solver, rounded_bound
from quoting.nesting.pattern import Limit, Offer, Packed, Pattern, Use, given
from quoting.nesting.rectangles import Piece, Stock

SURELY = 1e-6

BRANCHES = 500
"""Of the choice of whole stocks that a bound by area looks at."""


def packed(
    wanted: Sequence[int], offers: Sequence[Offer], make: Maker, start: tuple[Use, ...] | None, limit: Limit,
    more: Sequence[Pattern] = (), every: bool = False,
) -> Packed | None:  # fmt: skip
    """Stocks that give every piece at the least price that is found: never more than `start`, if that gives them all. None where
    none is found.

    First the patterns of the linear programme, and `more`, are chosen among in whole stocks; where that leaves a gap to the
    bound, its patterns are fixed a few at a time, and new ones are made for what is left. With `every`, `more` has all
    patterns that matter, and the choice among them proves itself.
    """
    relaxed = grown(wanted, offers, make, [*(use.pattern for use in start or ()), *more], limit)
    bound, best = relaxed.bound, start
    for found, proved in _ways(wanted, offers, make, relaxed, limit):
        if found is not None:
            trimmed = without_surplus(found, wanted)
            if best is None or _price(trimmed, offers) < _price(best, offers):
                best = trimmed
        if every:
            bound = max(bound, rounded_bound(proved, offers))
        if best is not None and (_price(best, offers) <= bound or limit.halted()):
            break
    if best is None:
        return None
    price = _price(best, offers)
    return Packed(best, price, min(bound, price))


def _ways(
    wanted: Sequence[int], offers: Sequence[Offer], make: Maker, relaxed: Grown, limit: Limit
) -> Iterator[tuple[tuple[Use, ...] | None, float]]:
    """Plans, each with a price that no choice among the patterns at hand is below."""
    yield relaxed.master.whole(limit.branches)
    yield dived(wanted, offers, make, relaxed, limit), 0.0
    yield relaxed.master.whole(limit.branches)


def dived(
    wanted: Sequence[int], offers: Sequence[Offer], make: Maker, relaxed: Grown, limit: Limit
) -> tuple[Use, ...] | None:
    """Whole stocks fixed a few at a time, with new patterns made for the pieces that are left; None where stock runs out."""
    uses: list[Use] = []
    left, there, now = list(wanted), list(offers), relaxed
    while any(left):
        fixed = _fixed(now, there)
        if not fixed:
            return None
        uses += fixed
        for use in fixed:
            relaxed.master.add(use.pattern)
            offer = there[use.pattern.stock]
            if offer.most is not None:
                there[use.pattern.stock] = offer._replace(most=offer.most - use.times)
        left = [max(many - had, 0) for many, had in zip(wanted, given(tuple(uses), len(wanted)), strict=True)]
        if any(left):
            start = {one._replace(fill=tuple(map(min, one.fill, left))) for one in now.master.patterns}
            now = grown(left, there, make, sorted(one for one in start if any(one.fill)), limit)
    return tuple(uses)


def _fixed(now: Grown, there: Sequence[Offer]) -> list[Use]:
    """Whole parts of the linear programme; where there are none, its most used pattern once."""
    whole = np.floor(now.used + SURELY).astype(int)
    if not np.any(whole):
        if not len(now.used) or now.used.max() <= SURELY:
            return []
        whole[int(np.argmax(now.used))] = 1
    uses = [Use(now.master.patterns[j], int(whole[j])) for j in np.flatnonzero(whole)]
    return [use for use in uses if (most := there[use.pattern.stock].most) is None or use.times <= most]


def without_surplus(uses: Sequence[Use], wanted: Sequence[int]) -> tuple[Use, ...]:
    """The same stocks, with no piece more than is wanted: what is left stays an offcut."""
    surplus = [had - many for had, many in zip(given(tuple(uses), len(wanted)), wanted, strict=True)]
    kept: dict[Pattern, int] = {}
    for use in uses:
        times = use.times
        while times:
            take = tuple(map(min, use.pattern.fill, surplus))
            many = min(
                (spare // part for spare, part in zip(surplus, take, strict=True) if part), default=times
            )
            many = max(min(many, times), 1)
            pattern = use.pattern._replace(
                fill=tuple(had - less for had, less in zip(use.pattern.fill, take, strict=True))
            )
            if any(pattern.fill):
                kept[pattern] = kept.get(pattern, 0) + many
            surplus = [spare - part * many for spare, part in zip(surplus, take, strict=True)]
            times -= many
    return tuple(Use(pattern, times) for pattern, times in kept.items())


def _price(uses: Sequence[Use], offers: Sequence[Offer]) -> int:
    return sum(offers[use.pattern.stock].price * use.times for use in uses)


def area_bound(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> int | None:
    """The least price of whole stocks whose area holds that of the pieces; and, of the stocks that are long or wide enough, that of
    all pieces which are longer, or wider, than some size. None where no stocks hold them: then there is no plan at all.

    Continuous lower bound (Martello and Vigo, Exact solution of the two-dimensional finite bin packing problem, Management
    Science 44 (1998)), taken over classes of pieces all at once, in whole stocks.
    """
    offers = [stock.offer for stock in stocks]
    solver = quiet_solver()
    solver.setOptionValue("mip_max_nodes", BRANCHES)
    solver.setOptionValue("mip_rel_gap", 0.0)
    for j, offer in enumerate(offers):
        most = FOREVER if offer.most is None else float(offer.most)
        solver.addCol(float(offer.price), 0.0, most, *entries([], []))
        solver.changeColIntegrality(j, highspy.HighsVarType.kInteger)
    for needed, holds in _classes(pieces, stocks):
        columns = [j for j, held in enumerate(holds) if held]
        solver.addRow(1.0, FOREVER, *entries(columns, [holds[j] / needed for j in columns]))
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    return rounded_bound(float(solver.getInfo().mip_dual_bound), offers)


def _classes(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> Iterator[tuple[int, list[int]]]:
    """Area of the pieces of a class, and what of it each stock can hold."""
    sides = [(piece.length, piece.staves.least if piece.staves else piece.width) for piece in pieces]
    rooms = [stock.size for stock in stocks]
    for side in (max, min):
        for limit in sorted({side(one) for one in sides}):
            mine = [i for i, one in enumerate(sides) if side(one) >= limit]
            holds = [room[0] * room[1] if side(room) >= limit else 0 for room in rooms]
            yield sum(pieces[i].area * pieces[i].number for i in mine), holds
