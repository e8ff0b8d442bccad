"""Lengths as whole numbers, so that what fits exactly fits, and a plan can be proved."""

from __future__ import annotations

from math import gcd
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

TICKS_PER_M = 1_000_000_000
"""A nanometre: 1/64 in (396,875 nm), 0.1 mm and all that a saw can tell apart are whole numbers of it."""

FINEST = 20_000
"""Steps of the longest stock: a table of that many is filled in about a millisecond."""


def ticks(length_m: float) -> int:
    """A length in whole ticks [1]."""
    return round(length_m * TICKS_PER_M)


def metres(length: int) -> float:
    """Ticks as a length [m]."""
    return length / TICKS_PER_M


class Grid(NamedTuple):
    """Steps in which lengths are counted. `exact` where every length is a whole number of them."""

    step: int
    exact: bool

    def up(self, length: int) -> int:
        """Steps that hold a piece: a plan made with them can be cut."""
        return -(-length // self.step)

    def down(self, length: int) -> int:
        """Steps that no piece falls below: a bound made with them holds."""
        return length // self.step


def grid_of(stocks: Iterable[int], pieces: Sequence[int]) -> Grid:
    """The coarsest grid on which all lengths are exact, or the finest that a table can be filled on."""
    longest = max(stocks, default=1)
    step = gcd(*pieces) if pieces else longest  # of stock only whole numbers of piece steps can be used
    coarse = -(-longest // FINEST)
    return Grid(step, True) if step >= coarse else Grid(coarse, False)
