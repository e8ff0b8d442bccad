"""Variances: what a difference of cost is made of, a quantity and a price."""

from __future__ import annotations

from typing import NamedTuple


class TwoWay(NamedTuple):
    """Parts of actual cost less standard cost [money]: above zero is over the standard, for costs unfavourable.

    They sum to AQ x AP - SQ x SP exactly: what both cause together stands in `price`.
    """

    price: float
    quantity: float

    @property
    def total(self) -> float:
        """Actual less standard [money]."""
        return self.price + self.quantity


def two_way(
    *, actual_quantity: float, actual_price: float, standard_quantity: float, standard_price: float
) -> TwoWay:
    """Price and quantity variance: AQ (AP - SP) and (AQ - SQ) SP (OpenStax, Principles of Accounting 2, chapter 8).

    Of material that is price and usage, of labour rate and time, of machines and overhead spending and efficiency; with
    budget for standard, and the sign turned, sales price and sales volume. Quantities in one unit, prices for one of it.
    """
    return TwoWay(
        actual_quantity * (actual_price - standard_price),
        (actual_quantity - standard_quantity) * standard_price,
    )


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
