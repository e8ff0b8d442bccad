"""Versions of a piece side by side: their figures, which differences are larger than what is unsure, and what these answer."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.model import cost
from quoting.job.brief import Brief
from quoting.pick import likely
from quoting.pricing.lists import fact_names
from quoting.pricing.outlook import days_to_hand_over, margins
from quoting.pricing.record import Priced
from quoting.risk.drawn import Drawn, chance
from quoting.trades.glass import GLASS
from quoting.trades.laminate import BAGGING, LAMINATE
from quoting.trades.registry import facts
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

    @property
    def loses(self) -> float:
        """The chance that its price loses money."""
        return chance(self.margins < 0).share


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
    yield Row("chance_of_loss", "share", tuple(one.loses for one in versions), None)


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
    """What the difference of two versions answers; nothing where it asks nothing."""
    yield from _bag(first, other)
    yield from _round(first, other)
    yield from _glass(first, other)
    yield from _prices(first, other)


def _bag(first: Version, other: Version) -> Iterator[Answer]:
    """Rounds after which a bag that stays has paid for itself: its price over the consumables that it saves a round, rounded up."""
    stays = [any(part.bag == "reusable" for part in LAMINATE.of(one.brief.job)) for one in (first, other)]
    if stays[0] == stays[1]:
        return
    kept, thrown = (other, first) if stays[1] else (first, other)
    saved = _a_round(thrown) - _a_round(kept)
    price, lasts = BAGGING.of(kept.brief.shop).bag_price, BAGGING.of(kept.brief.shop).bag_cycles
    rounds = float(math.ceil(price / saved - 1e-9)) if saved > 0 else math.inf
    words = f"a reusable bag at {price:,.2f} saves {saved:,.2f} of film and tape a round"
    end = "it never pays" if math.isinf(rounds) else f"it has paid after {rounds:.0f} rounds"
    yield Answer("reusable_bag_rounds", rounds, f"{words}: {end} (it lasts {lasts:g})")


def _a_round(version: Version) -> float:
    """Consumables of a round, the share of a reusable bag left out [money]."""
    rounds = version.priced.quantities["bag_cycles"]
    spent = sum(
        float(line.amount)
        for line in version.priced.lines
        if line.trade == "bagging" and not line.id.endswith(".bag")
    )
    return spent / rounds if rounds else 0.0


def _round(first: Version, other: Version) -> Iterator[Answer]:
    one, two = (version.priced.quantities["bag_cycles"] for version in (first, other))
    if one == two or not one or not two:
        return
    hours = (other.priced.quantities["labour_hours"] - first.priced.quantities["labour_hours"]) / (two - one)
    each = (other.planned - first.planned) / (two - one)
    plies = [version.priced.quantities["laminate_plies"] for version in (first, other)]
    more = " with its plies," if plies[0] != plies[1] else ""
    words = f"a round more or less,{more} and all else that changes, moves the cost by {each:,.2f} and takes {hours:.1f} h"
    yield Answer("cost_of_a_round", each, words)


def _glass(first: Version, other: Version) -> Iterator[Answer]:
    """What another treatment costs, the panes as they are in the other version."""
    before = {part.id: part.treatment for part in GLASS.of(first.brief.job)}
    glass = GLASS.of(other.brief.job)
    changed = [part for part in glass if before.get(part.id, part.treatment) != part.treatment]
    if not changed:
        return
    as_before = tuple(replace(part, treatment=before.get(part.id, part.treatment)) for part in glass)
    untreated = replace(other.brief, job=GLASS.put(other.brief.job, as_before))
    costs = [
        sum(float(line.amount) for line in cost(brief, likely).lines if line.group == GLASS.trade)
        for brief in (other.brief, untreated)
    ]
    more = costs[0] - costs[1]
    words = f"{changed[0].treatment} instead of {before[changed[0].id]} glass costs {abs(more):,.2f}"
    yield Answer("glass_treatment", more, f"{words} {'less' if more < 0 else 'more'}")


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
        words = f"the cost would be the same if {named} came {abs(factor - 1):.0%} {'higher' if factor > 1 else 'lower'}"
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
