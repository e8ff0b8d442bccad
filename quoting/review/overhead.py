"""Overhead of a year: what pieces bore of it against what the shop spent."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from quoting.logbook.in_hand import SIGNS, WORK
from quoting.logbook.names import rate_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.job.shop import Shop
    from quoting.ledger.entries import Entry
    from quoting.logbook.piece import Piece


class Overhead(NamedTuple):
    """Fixed overhead of a year [money]: spent less budget, and budget less what the hours worked absorbed."""

    spending: float
    volume: float

    @property
    def under_absorbed(self) -> float:
        """Spent and not absorbed [money]; below zero where more was absorbed than spent."""
        return self.spending + self.volume


def overhead(*, spent: float, budget: float, absorbed: float) -> Overhead:
    """Spending and volume variance of fixed overhead: spent - budget, budget - absorbed (OpenStax, Principles of
    Accounting 2, chapters 4 and 8). Their sum is what was spent less what was absorbed.
    """
    return Overhead(spent - budget, budget - absorbed)


class Year(NamedTuple):
    """A year's overhead [money]: by the shop file as it is now, spent as far as the ledger tells (None where it tells nothing),
    borne by the hours of pieces [h]; the variances, where it was spent.
    """

    year: int
    budget: float
    spent: float | None
    hours: float
    absorbed: float
    variance: Overhead | None


def years(pieces: Iterable[Piece], shop_entries: Iterable[Entry], shop: Shop) -> list[Year]:
    """Every year in which something was logged."""
    budget = sum(amount for name, amount in shop.overhead.items() if name != "billable_hours")
    hours: dict[int, float] = defaultdict(float)
    absorbed: dict[int, float] = defaultdict(float)
    for piece in pieces:
        rate = rate_of(piece.plan, "overhead")
        kinds = (*WORK, "trip") if piece.plan.shop.delivery.overhead_on_trip else WORK
        for entry in piece.holding:
            if entry.kind in kinds:
                hours[entry.day.year] += entry.hours_worked
                absorbed[entry.day.year] += entry.hours_worked * rate
    spent: dict[int, float] = defaultdict(float)
    for entry in shop_entries:
        if entry.kind in SIGNS:
            spent[entry.day.year] += SIGNS[entry.kind] * float(entry.money or 0)
    return [
        Year(
            year,
            budget,
            spent.get(year),
            hours[year],
            absorbed[year],
            overhead(spent=spent[year], budget=budget, absorbed=absorbed[year]) if year in spent else None,
        )
        for year in sorted({*hours, *spent})
    ]
