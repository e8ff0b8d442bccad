"""Bars and tubes cut to lengths: least price, with a bound; the best fill of one bar, by knapsack."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from quoting.nesting.columns import Made
from quoting.nesting.pattern import USUAL, Limit, Offer, Packed, Pattern, Use, grid_of
from quoting.nesting.whole import packed

FEW = 1_000
"""Patterns of a bar that can all be chosen among."""
LOOKED_EACH = 20
"""Branches that are looked at for each fill that is wanted at most."""
NO_WORTH = 1e-12


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
    patterns = Counter(Pattern(stock, tuple(fill)) for stock, fill, _ in opened)
    return tuple(Use(pattern, times) for pattern, times in patterns.items())


def best_fill(
    values: Sequence[float], sizes: Sequence[int], counts: Sequence[int], capacity: int
) -> tuple[float, list[int]]:
    """The greatest sum of values whose sizes [steps] fit into a capacity [steps], and how often each piece is in it.

    Bounded knapsack by dynamic programming over 0 .. capacity; counts are split into packs of 1, 2, 4 ... pieces
    (Martello and Toth, Knapsack Problems, 1990, section 3.4; from memory).
    """
    best = np.zeros(capacity + 1)
    taken: list[tuple[int, int, np.ndarray]] = []
    for i, many in _packs(values, sizes, counts, capacity):
        size = many * sizes[i]
        with_it = best[: capacity + 1 - size] + many * values[i]
        better = with_it > best[size:] + NO_WORTH
        best[size:] = np.where(better, with_it, best[size:])
        taken.append((i, many, better))
    fill, left = [0] * len(values), capacity
    for i, many, better in reversed(taken):
        size = many * sizes[i]
        if left >= size and better[left - size]:
            fill[i] += many
            left -= size
    return float(best[capacity]), fill


def every_fill(
    sizes: Sequence[int], counts: Sequence[int], capacity: int, most: int
) -> list[tuple[int, ...]]:
    """All fills of a bar to which no piece can be added; none at all where they are more than `most`, or too much would have to be
    looked at to find them.
    """
    found: list[tuple[int, ...]] = []
    looked = 0

    def filled(i: int, fill: tuple[int, ...], left: int) -> bool:
        nonlocal looked
        looked += 1
        if looked > most * LOOKED_EACH:
            return False
        if i == len(sizes):
            full = all(
                have == count or size > left for have, count, size in zip(fill, counts, sizes, strict=True)
            )
            if full:
                found.append(fill)
            return len(found) <= most
        fits = min(counts[i], left // sizes[i] if sizes[i] else counts[i])
        return all(filled(i + 1, (*fill, many), left - many * sizes[i]) for many in range(fits, -1, -1))

    return found if filled(0, (), capacity) else []


def _packs(
    values: Sequence[float], sizes: Sequence[int], counts: Sequence[int], capacity: int
) -> Iterator[tuple[int, int]]:
    """Packs of pieces whose sums make every number up to what fits."""
    for i, (value, size, count) in enumerate(zip(values, sizes, counts, strict=True)):
        if value <= NO_WORTH:
            continue
        left, many = min(count, capacity // size if size else count), 1
        while left > 0:
            yield i, min(many, left)
            left -= many
            many *= 2
