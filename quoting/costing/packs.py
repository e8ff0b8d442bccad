"""Packs of one item: what can be bought at once, and the cheapest cover of a quantity."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.takeoff.numbers import TOLERANCE, whole_up
from quoting.values import Num


class Pack(NamedTuple):
    """What can be bought at once: its size in units, its price for one unit. Size 0: any amount."""

    size: float
    price: float


class Cover(NamedTuple):
    """A way to buy: units got, money paid, packs of each kind."""

    units: float
    cost: float
    packs: tuple[int, ...]


BULK = 10  # beyond this many of the best packs, the best pack alone serves the bulk


@dataclass(frozen=True, slots=True, eq=False)
class PackTable:
    """All covers worth buying up to the table's end, by growing units and cost; none where one pack is all.

    `units` and `costs` are the columns of `covers`, of shape (covers,); `bulk` is the pack with the
    lowest unit price, `loose` the price of any amount, where that can be bought.
    """

    packs: tuple[Pack, ...]
    loose: float | None
    bulk: Pack
    covers: tuple[Cover, ...]
    units: NDArray[np.float64]
    costs: NDArray[np.float64]

    def cost(self, quantity: Num) -> Num:
        """Money for the cheapest cover of a quantity."""
        if not self.packs and self.loose is not None:
            return quantity * self.loose
        _, cost = self._by_packs(quantity)
        return cost if self.loose is None else np.minimum(cost, quantity * self.loose)

    def rate(self, quantity: Num) -> Num:
        """Money for one unit in the cheapest cover of a quantity."""
        if not self.packs and self.loose is not None:
            return 0.0 * quantity + self.loose
        if self._alone:
            return 0.0 * quantity + self.bulk.price
        units, cost = self._by_packs(quantity)
        rate = np.where(units > 0, cost / np.where(units > 0, units, 1.0), self.bulk.price)
        return rate if self.loose is None else np.where(quantity * self.loose <= cost, self.loose, rate)

    def got(self, quantity: Num) -> Num:
        """Units got with the cheapest cover of a quantity."""
        if self._alone:
            return self._by_packs(quantity)[0]
        return self.bought(float(quantity)).units if self.packs else quantity

    @property
    def _alone(self) -> bool:
        """True where there is one kind of pack and nothing else: no cover to choose."""
        return len(self.packs) == 1 and self.loose is None

    def _by_packs(self, quantity: Num) -> tuple[Num, Num]:
        """Units and money of the cheapest cover of a quantity by packs alone."""
        if self._alone:
            units = whole_up(quantity / self.bulk.size) * self.bulk.size
            return units, units * self.bulk.price
        bulk, index = self._place(quantity)
        units = bulk * self.bulk.size
        return units + self.units[index], units * self.bulk.price + self.costs[index]

    def bought(self, quantity: float) -> Cover:
        """What to buy for a quantity; any amount where that is cheapest."""
        if self._alone:
            units, cost = self._by_packs(quantity)
            return Cover(float(units), float(cost), (round(float(units / self.bulk.size)),))
        if self.loose is not None and self.cost(quantity) >= quantity * self.loose * (1 - TOLERANCE):
            return Cover(quantity, quantity * self.loose, ())
        bulk, index = self._place(quantity)
        cover = self.covers[int(index)]
        best = self.packs.index(self.bulk)
        packs = tuple(n + (int(bulk) if i == best else 0) for i, n in enumerate(cover.packs))
        got = sum(n * pack.size for n, pack in zip(packs, self.packs, strict=True))
        return Cover(got, float(self.cost(quantity)), packs)

    def _place(self, quantity: Num) -> tuple[Num, NDArray[np.intp]]:
        """Packs of the bulk, and the row of the table that covers the rest."""
        size = self.bulk.size
        bulk = np.floor(np.maximum(quantity - BULK * size, 0.0) / size)
        rest = (quantity - bulk * size) * (1 - TOLERANCE)
        return bulk, np.asarray(np.searchsorted(self.units, rest, side="left"))


@lru_cache(maxsize=256)
def pack_table(packs: tuple[Pack, ...]) -> PackTable:
    """The table for the packs of one item; packs of size 0 mean any amount at that price."""
    loose = min((pack.price for pack in packs if not pack.size), default=None)
    sized = tuple(pack for pack in packs if pack.size)
    best = min(sized, key=lambda pack: (pack.price, -pack.size), default=Pack(0.0, loose or 0.0))
    covers = [Cover(0.0, 0.0, (0,) * len(sized))]
    if len(sized) == 1 and loose is None:
        return PackTable(sized, None, best, (), np.array([]), np.array([]))
    for position, pack in enumerate(sized):
        covers = _worth_buying(_with_pack(covers, position, pack, (BULK + 1) * best.size))
    units, costs = (np.array([getattr(cover, name) for cover in covers]) for name in ("units", "cost"))
    return PackTable(sized, loose, best, tuple(covers), units, costs)


def _with_pack(covers: list[Cover], position: int, pack: Pack, end: float) -> list[Cover]:
    grown = []
    for cover in covers:
        for number in count():
            packs = (*cover.packs[:position], number, *cover.packs[position + 1 :])
            units = cover.units + number * pack.size
            grown.append(Cover(units, cover.cost + number * pack.size * pack.price, packs))
            if units >= end:
                break
    return grown


def _worth_buying(covers: list[Cover]) -> list[Cover]:
    """Covers that no other beats with as much for as little; dominance holds when packs are added."""
    kept: list[Cover] = []
    for cover in sorted(covers, key=lambda one: (-one.units, one.cost)):
        if not kept or cover.cost < kept[-1].cost:
            kept.append(cover)
    return kept[::-1]
