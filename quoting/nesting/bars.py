"""Bars and tubes cut to lengths: least price, with a bound."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.nesting.columns import Made, best_fill, every_fill
from quoting.nesting.pattern import USUAL, Pattern, Use, grid_of
from quoting.nesting.whole import packed

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

    from quoting.nesting.pattern import Limit, Offer, Packed

FEW = 1_000
"""Patterns of a bar that can all be chosen among."""


class Bars(NamedTuple):
    """Stock of given lengths, pieces of given lengths and how many are wanted [ticks]; every cut takes a kerf."""

    stocks: tuple[int, ...]
    offers: tuple[Offer, ...]
    lengths: tuple[int, ...]
    wanted: tuple[int, ...]
    kerf: int

    @property
    def rooms(self) -> list[int]:
        """Stock with one kerf more: with it, every piece takes its length and one kerf, and the sums are exact."""
        return [stock + self.kerf for stock in self.stocks]

    @property
    def sizes(self) -> list[int]:
        """Pieces with the kerf of their cut."""
        return [length + self.kerf for length in self.lengths]


def bar_plan(bars: Bars, limit: Limit = USUAL) -> Packed | None:
    """The plan of least price that is found; None where the stock is not enough."""
    if any(size > max(bars.rooms) for size in bars.sizes):
        return None
    grid = grid_of(bars.rooms, bars.sizes)
    up, down = [grid.up(size) for size in bars.sizes], [grid.down(size) for size in bars.sizes]
    rooms = [grid.down(room) for room in bars.rooms]

    def make(stock: int, worths: np.ndarray, wanted: Sequence[int]) -> Made:
        worth, fill = best_fill(list(worths), up, wanted, rooms[stock])
        most = worth if grid.exact else best_fill(list(worths), down, wanted, rooms[stock])[0]
        return Made(Pattern(stock, tuple(fill)), most)

    fills = [every_fill(up, bars.wanted, room, FEW) for room in rooms]
    every = grid.exact and all(fills)
    more = [Pattern(s, fill) for s, mine in enumerate(fills) for fill in mine] if every else []
    return packed(bars.wanted, bars.offers, make, best_fit(bars), limit, more, every)


def best_fit(bars: Bars) -> tuple[Use, ...] | None:
    """Longest pieces first, each into the bar that it leaves least of; a new bar is the one of least price a length."""
    order = sorted(range(len(bars.lengths)), key=lambda i: -bars.lengths[i])
    there = [offer.most for offer in bars.offers]
    opened: list[tuple[int, list[int], int]] = []
    for i in order:
        size = bars.sizes[i]
        for _ in range(bars.wanted[i]):
            fits = [j for j, (_, _, room) in enumerate(opened) if room >= size]
            if fits:
                j = min(fits, key=lambda j: opened[j][2])
            else:
                found = [s for s, room in enumerate(bars.rooms) if room >= size and there[s] != 0]
                if not found:
                    return None
                stock = min(found, key=lambda s: bars.offers[s].price / bars.rooms[s])
                if (count := there[stock]) is not None:
                    there[stock] = count - 1
                opened.append((stock, [0] * len(bars.lengths), bars.rooms[stock]))
                j = len(opened) - 1
            stock, fill, room = opened[j]
            fill[i] += 1
            opened[j] = (stock, fill, room - size)
    patterns: dict[Pattern, int] = {}
    for stock, fill, _ in opened:
        pattern = Pattern(stock, tuple(fill))
        patterns[pattern] = patterns.get(pattern, 0) + 1
    return tuple(Use(pattern, times) for pattern, times in patterns.items())
