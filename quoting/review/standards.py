"""Standards and price levels as finished pieces show them: old value, new value, how sure, and what it rests on."""

import math
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from quoting.costing.rates import purchase_factor
from quoting.forecast.build import Build
from quoting.job.brief import Brief
from quoting.job.standards import as_written, dimension_of_standard, standard_of
from quoting.logbook.filled import rates_paid
from quoting.review.estimates import LEARNING, PACE, estimates, pace_of
from quoting.risk.updating import FEWEST_PIECES, pooled
from quoting.values import Uncertain, key

FEWEST_FOR_RANGE = 5  # pieces, before their spread is
REACH = 2.65  # standard deviations from the likely value to a bound: those of a beta-PERT, sqrt(7) where it is even
CAPPED = ("learning", "attended", "mixing_loss")  # shares of which there is no more than all


class PaidPrice(NamedTuple):
    """What a unit of an item costs by the price file now, and what the pieces paid for it, with its standard error [money]."""

    item: str
    unit: str
    old: float
    new: float
    error: float
    pieces: int
    proposed: bool


def prices_paid(builds: Sequence[Build], brief: Brief) -> list[PaidPrice]:
    """Items of the price file with one price that were bought with money and count, by name, as the book writes prices: with or
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


class Learned(NamedTuple):
    """A standard of the shop. `old` is what it holds now, None where it holds none; `new` likely value, with its standard
    error; `low` and `high` of its new range. `pieces` it rests on; `proposed` where they are enough and tell a difference.
    """

    name: str
    dimension: str
    old: Uncertain | None
    new: float
    error: float
    pieces: int
    low: float
    high: float
    proposed: bool


def learned(builds: Sequence[Build], brief: Brief) -> list[Learned]:
    """Standards from finished pieces, for the shop of `brief` as it is now.

    The learning rate first, then all others with it, then the pace that is left: so all can be taken over together.
    """
    first = _by_name(builds, {}, brief, lambda name: name == LEARNING)
    given = {name: _mean(values) for name, values in first.items() if len(values) >= FEWEST_PIECES}
    others = _by_name(builds, given, brief, lambda name: name != LEARNING)
    found = [_learned(brief, name, values) for name, values in (*first.items(), *sorted(others.items()))]
    in_force = {one.name: one.new if one.proposed or one.old is None else one.old.likely for one in found}
    taken_over = in_force | given
    paces = [pace for build in builds if (pace := pace_of(build, taken_over)) is not None]
    if paces:
        found.append(_learned(brief, PACE, paces))
    return found


def _by_name(
    builds: Sequence[Build], given: Mapping[str, float], brief: Brief, wanted: Callable[[str], bool]
) -> dict[str, list[float]]:
    """What each piece shows, by the name that the shop file gives a standard: one value a piece, however many parts show it."""
    values: dict[str, list[float]] = defaultdict(list)
    for build in builds:
        mine: dict[str, list[float]] = defaultdict(list)
        for one in estimates(build, given):
            if wanted(one.name):
                mine[as_written(brief, one.name)].append(one.value)
        for name, found in mine.items():
            spelled = next((other for other in values if key(other) == key(name)), name)
            values[spelled].append(_mean(found))
    return values


def _mean(values: Sequence[float]) -> float:
    return float(np.mean(values))


def _learned(brief: Brief, name: str, values: Sequence[float]) -> Learned:
    """Pool the values that pieces show; the range as wide as they spread.

    With fewer than `FEWEST_FOR_RANGE` pieces it keeps its shape around the new value.
    """
    found, old = pooled(values), standard_of(brief, name)
    new, n = found.mean, found.pieces
    low, high = _range(old, new, found.spread, n)
    if name.rpartition(".")[2] in CAPPED:
        low, new, high = (min(value, 1.0) for value in (low, new, high))
    if old is None:
        proposed = n >= FEWEST_PIECES
    else:
        before = old.high - old.low  # a range differs that became half as wide, or half as wide again
        differs = not before * 2 / 3 <= high - low <= before * 3 / 2
        proposed = found.tells_from(old.likely) or (n >= FEWEST_FOR_RANGE and differs)
    dimension = dimension_of_standard(brief, name)
    return Learned(name, dimension, old, new, found.error, n, low, high, proposed)


def _range(old: Uncertain | None, new: float, spread: float, n: int) -> tuple[float, float]:
    if n >= FEWEST_FOR_RANGE or old is None or not old.likely:
        reach = REACH * spread / new if new else 0.0
        return new * math.exp(-reach), new * math.exp(reach)
    return new * old.low / old.likely, new * old.high / old.likely
