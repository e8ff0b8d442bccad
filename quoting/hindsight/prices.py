"""Price levels: what things of the price book really cost, by what was paid for the pieces."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.rates import purchase_factor
from quoting.hindsight.pooled import pooled
from quoting.logbook.so_far import rates_paid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.forecast.build import Build
    from quoting.inputs.brief import Brief


class PaidPrice(NamedTuple):
    """What a unit of an item costs by the price book now, and what the pieces paid for it, with its standard error [money]."""

    item: str
    unit: str
    old: float
    new: float
    error: float
    pieces: int
    proposed: bool


def prices_paid(builds: Sequence[Build], brief: Brief) -> list[PaidPrice]:
    """Items of the price book with one price that were bought with money and count, by name, as the book writes prices: with or
    without tax. Things sold by the pack stand with several prices, and are left to the maker.
    """
    paid: dict[str, list[float]] = defaultdict(list)
    for build in builds:
        for item, rate in rates_paid(build.lines).items():
            paid[item].append(rate / purchase_factor(build.brief.shop))
    found = []
    for item, values in sorted(paid.items()):
        rows = brief.book.get(item, ())
        if len(rows) != 1:
            continue
        old, now = rows[0].price, pooled(values)
        unit = rows[0].unit.name
        found.append(PaidPrice(rows[0].item, unit, old, now.mean, now.error, now.pieces, now.tells_from(old)))
    return found
