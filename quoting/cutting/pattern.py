"""What every plan is made of: stock to cut, pieces wanted, and patterns that say which pieces one stock gives."""

from __future__ import annotations

from typing import NamedTuple


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
    found = [0] * kinds
    for use in uses:
        for i, many in enumerate(use.pattern.fill):
            found[i] += many * use.times
    return found
