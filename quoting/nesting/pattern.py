"""What every plan is made of: whole ticks, stock to cut, pieces wanted, patterns, and how long a plan is bettered."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import gcd
from typing import NamedTuple

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


class Offer(NamedTuple):
    """A kind of stock: price of one [minor units of money], and how many there are (None: as many as are bought)."""

    price: int
    most: int | None


class Pattern(NamedTuple):
    """One way to cut one stock: its kind, by kind of piece how many it gives, and where the way is drawn (an index of the
    layouts of whoever made it).
    """

    stock: int
    fill: tuple[int, ...]
    layout: int = 0


class Use(NamedTuple):
    """A pattern and how many stocks are cut by it."""

    pattern: Pattern
    times: int


class Packed(NamedTuple):
    """Stocks to cut so that every piece is there; `bound` is a price that no plan can be below [minor units]."""

    uses: tuple[Use, ...]
    price: int
    bound: int


def given(uses: tuple[Use, ...], kinds: int) -> list[int]:
    """Pieces of every kind that patterns give together."""
    return [sum(use.pattern.fill[i] * use.times for use in uses) for i in range(kinds)]


def never() -> bool:
    """Nobody waits."""
    return False


class Limit(NamedTuple):
    """Free regions that a search looks at, orders it tries in vain, at most and for each piece, branches of a choice among patterns;
    `halted` is asked now and then, and ends the plan at the best so far: a clock, or someone who has waited long enough. `again` is
    asked after a plan that may not be the best: whether there is time for a larger search.
    """

    regions: int = 22_000_000
    in_vain: int = 12_000
    in_vain_each: int = 600
    branches: int = 10
    halted: Callable[[], bool] = never
    again: Callable[[], bool] = never

    def times(self, many: int) -> Limit:
        """So many times the effort."""
        return self._replace(
            regions=self.regions * many,
            in_vain=self.in_vain * many,
            in_vain_each=self.in_vain_each * many,
            branches=self.branches * many,
        )


USUAL = Limit()


def usual(plans: int) -> Limit:  # noqa: ARG001
    """The limit of the next of so many plans that are still to be made: the same for each."""
    return USUAL
