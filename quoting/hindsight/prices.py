"""Price levels: what things of the price book really cost, by what was paid for the pieces."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.costing.rates import purchase_factor
from quoting.review.material import rates_paid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.forecast.build import Build
    from quoting.inputs.brief import Brief

FEWEST = 3  # pieces that bought it, before a new price is proposed


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
        n, new = len(values), float(np.mean(values))
        error = float(np.std(values, ddof=1)) / math.sqrt(n) if n > 1 else 0.0
        moved = abs(new - rows[0].price) > error
        found.append(
            PaidPrice(rows[0].item, rows[0].unit.name, rows[0].price, new, error, n, n >= FEWEST and moved)
        )
    return found
