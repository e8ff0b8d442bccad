"""Variances: what a difference of cost is made of, a quantity and a price."""

from __future__ import annotations

from decimal import Decimal
from typing import Generic, NamedTuple, TypeVar

Amount = TypeVar("Amount", float, Decimal)


class TwoWay(NamedTuple, Generic[Amount]):
    """Parts of actual cost less standard cost [money]: above zero is over the standard, for costs unfavourable.

    They sum to actual less standard exactly: what both cause together stands in `price`.
    """

    price: Amount
    quantity: Amount


def two_way(*, actual: Amount, at_standard_price: Amount, standard: Amount) -> TwoWay[Amount]:
    """Price and quantity variance from AQ x AP, AQ x SP and SQ x SP [money]: AQ (AP - SP) and (AQ - SQ) SP (OpenStax, Principles
    of Accounting 2, chapter 8).

    Of material that is price and usage, of labour rate and time, of machines and overhead spending and efficiency; with
    budget for standard, and the sign turned, sales price and sales volume.
    """
    return TwoWay(actual - at_standard_price, at_standard_price - standard)


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
