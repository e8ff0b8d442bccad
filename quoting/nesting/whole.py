"""From a linear programme to whole stocks: the best of several ways, and how far it may be from the best there is."""

from collections.abc import Iterator, Sequence

import numpy as np

from quoting.nesting.columns import Grown, Maker, grown, rounded_bound
from quoting.nesting.pattern import Limit, Offer, Packed, Pattern, Use, given

SURELY = 1e-6


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
