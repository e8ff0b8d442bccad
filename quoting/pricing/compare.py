"""Versions of a piece side by side: their figures, and which differences are larger than what is unsure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.job.brief import Brief
from quoting.pricing.lists import fact_names
from quoting.pricing.outlook import days_to_hand_over, margins
from quoting.pricing.record import Priced
from quoting.risk.drawn import Drawn, chance
from quoting.trades.registry import facts

NINE_IN_TEN = (0.1, 0.9)
WORDS = {
    "mass_kg": "mass", "labour_hours": "labour [h]", "machine_hours": "machines [h]", "lead_days": "days to hand-over",
    "scrap_cost": "scrap", "planned_cost": "planned cost", "cost_with_reserve": "cost with reserve",
    "price_total": "price, tax in it", "margin": "margin", "chance_of_loss": "chance of a loss",
}  # fmt: skip
"""Figures of a job as a whole in words; trades say theirs."""
UNITS = {"_m2": "area", "_m": "distance", "_kg": "mass"}


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
    def loses(self) -> float:
        """The chance that its price loses money."""
        return chance(self.margins < 0).share


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
    spent = [float(one.priced.cost["planned"] + one.priced.chain.delivery_extra) for one in versions]
    yield _row(versions, "planned_cost", "money", spent, "cost")
    reserved = [float(one.priced.chain.with_reserve + one.priced.chain.delivery_extra) for one in versions]
    yield _row(versions, "cost_with_reserve", "money", reserved)
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
