"""Versions of a piece side by side: their figures, which differences are larger than what is unsure, and what these answer."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.model import cost
from quoting.job.brief import Brief
from quoting.job.job import Job
from quoting.measures.showing import per_cent
from quoting.pick import likely
from quoting.pricing.lists import fact_names
from quoting.pricing.outlook import days_to_hand_over, margins
from quoting.pricing.record import Priced
from quoting.risk.drawn import Drawn, chance
from quoting.trades.registry import facts, trades
from quoting.values import key

NINE_IN_TEN = (0.1, 0.9)
WORDS = {
    "mass_kg": "mass", "labour_hours": "labour [h]", "machine_hours": "machines [h]", "lead_days": "days to hand-over",
    "scrap_cost": "scrap", "planned_cost": "planned cost", "cost_with_reserve": "cost with reserve",
    "price_total": "price, tax in it", "margin": "margin", "chance_of_loss": "chance of a loss",
}  # fmt: skip
"""Figures of a job as a whole in words; trades say theirs."""
UNITS = {"_m2": "area", "_m": "distance", "_kg": "mass"}

STEP = 1.01  # where cost is linear in a price, any step finds its slope
TRIES, CLOSE = 8, 0.005


@dataclass(frozen=True, slots=True)
class Version:
    """One column: a piece, what is changed in it, its price, its draws, and the money that its scrap costs."""

    name: str
    changes: tuple[str, ...]
    brief: Brief
    priced: Priced
    run: Drawn
    scrap: float

    @property
    def margins(self) -> NDArray[np.float64]:
        """Margin of every draw at the version's own price, array of shape (draws,)."""
        return margins(self.priced.chain, self.run.cost)

    @property
    def planned(self) -> float:
        """Its planned cost, unrounded [money]."""
        return _planned(self.brief)

    def cost_of(self, group: str, job: Job | None = None) -> float:
        """What a group of its lines costs, unrounded, or would cost with another `job` [money]."""
        brief = self.brief if job is None else replace(self.brief, job=job)
        return sum(float(line.amount) for line in cost(brief, likely).lines if line.group == group)


def _planned(brief: Brief) -> float:
    return float(cost(brief, likely).planned)


class Row(NamedTuple):
    """A figure of every version. `sure` tells for each whether it differs from the first in at least 9 of 10 builds
    the same way, or at all where it is not drawn; None for a chance.
    """

    name: str
    kind: str
    values: tuple[float, ...]
    sure: tuple[bool, ...] | None


def figure_words(row: Row) -> str:
    """What a figure is, in words."""
    return WORDS.get(row.name) or facts()[row.name].words


def rows(versions: Sequence[Version]) -> list[Row]:
    """All figures; quantities that no version has are left out."""
    counted = [one for one in (*_quantities(versions), *_work(versions)) if any(one.values)]
    return [*counted, *_money(versions)]


def surely_differ(one: NDArray[np.float64], other: NDArray[np.float64]) -> bool:
    """True where the difference has the same sign in at least 9 of 10 draws; the draws must be of one seed.

    Inputs that both share are drawn once for both, so what moves the two together moves no difference.
    """
    low, high = np.quantile(other - one, NINE_IN_TEN)
    return bool(low > 0 or high < 0)


def _quantities(versions: Sequence[Version]) -> Iterator[Row]:
    drawn = {"bag_cycles": "rounds", "resin_litres": "resin_l"}
    names = dict.fromkeys(name for one in versions for name in fact_names(one.priced.job))
    for name in (*names, "mass_kg"):
        if not name.endswith("_cost"):
            kind = next((kind for end, kind in UNITS.items() if name.endswith(end)), "plain")
            values = [one.priced.quantities.get(name, 0.0) for one in versions]
            yield _row(versions, name, kind, values, drawn.get(name))


def _work(versions: Sequence[Version]) -> Iterator[Row]:
    for name, column in (("labour_hours", "labour_h"), ("machine_hours", "machine_h")):
        yield _row(versions, name, "plain", [one.priced.quantities[name] for one in versions], column)
    days = [one.priced.quantities["lead_days"] for one in versions]
    yield _drawn_row("lead_days", "plain", days, [days_to_hand_over(one.priced, one.run) for one in versions])


def _money(versions: Sequence[Version]) -> Iterator[Row]:
    yield _row(versions, "scrap_cost", "about", [one.scrap for one in versions])
    planned = [float(one.priced.planned_cost) for one in versions]
    yield _row(versions, "planned_cost", "money", planned, "cost")
    yield _row(versions, "cost_with_reserve", "money", [float(one.priced.chain.spent) for one in versions])
    yield _row(versions, "price_total", "money", [float(one.priced.chain.total) for one in versions])
    margins = [float(one.priced.chain.margin) for one in versions]
    yield _drawn_row("margin", "share", margins, [one.margins for one in versions])
    yield Row("chance_of_loss", "share", tuple(chance(one.margins < 0).share for one in versions), None)


def _row(
    versions: Sequence[Version], name: str, kind: str, values: list[float], column: str | None = None
) -> Row:
    if column is not None:
        return _drawn_row(name, kind, values, [getattr(one.run, column) for one in versions])
    return Row(name, kind, tuple(values), tuple(value != values[0] for value in values))


def _drawn_row(name: str, kind: str, values: list[float], draws: list[NDArray[np.float64]]) -> Row:
    return Row(name, kind, tuple(values), tuple(surely_differ(draws[0], one) for one in draws))


class Answer(NamedTuple):
    """An answer to one question: its name, its figure, and the words that hold it."""

    name: str
    figure: float
    words: str


def answers(first: Version, other: Version) -> Iterator[Answer]:
    """What the difference of two versions answers, by their trades and by prices; nothing where it asks nothing."""
    for one in trades().values():
        if one.compared:
            yield from (Answer(*found) for found in one.named(one.compared)(first, other))
    yield from _prices(first, other)


def _prices(first: Version, other: Version) -> Iterator[Answer]:
    """By how much the prices of what takes the place of other items would have to differ for the same cost.

    Cost is linear in a price but for carriage that comes free: the factor is tried, and corrected along the secant.
    """
    before = {line.id: key(line.item) for line in first.priced.lines}
    after = {line.id: key(line.item) for line in other.priced.lines}
    new = {item for id, item in after.items() if before.get(id, item) != item and item in other.brief.book}
    if not new:
        return
    wanted = first.planned

    def missed(factor: float) -> float:
        book = {
            name: tuple(replace(row, price=row.price * factor) for row in rows) if name in new else rows
            for name, rows in other.brief.book.items()
        }
        return _planned(replace(other.brief, book=book)) - wanted

    factor = _root(missed)
    if factor is None:
        return
    named = ", ".join(sorted(new))
    all_else = "" if _alike(first, other, new) else ", with all else that changes"
    if factor <= 0:
        words = f"no price of {named} would make the cost the same"
    else:
        words = f"the cost would be the same if {named} came {per_cent(abs(factor - 1), 0)} {'higher' if factor > 1 else 'lower'}"
    yield Answer("price_factor", factor, words + all_else)


def _root(difference: Callable[[float], float]) -> float | None:
    """The factor at which a difference is nothing, by secants from 1 on; None where it does not come to rest, or never moves."""
    one, two = 1.0, STEP
    for _ in range(TRIES):
        at_one, at_two = difference(one), difference(two)
        if at_one == at_two:
            return None
        one, two = two, two - at_two * (two - one) / (at_two - at_one)
        if two <= 0 or abs(difference(two)) < CLOSE:
            return two
    return None


def _alike(first: Version, other: Version, items: set[str]) -> bool:
    """True where all other lines have the quantities that they had."""
    before = {line.id: line.quantity for line in first.priced.lines}
    follow = ("sundries", "overhead", "carriage", "channel")
    return all(
        math.isclose(before.get(line.id, 0.0), line.quantity, rel_tol=1e-6)
        for line in other.priced.lines
        if key(line.item) not in items and line.trade not in follow
    )
