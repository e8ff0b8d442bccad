"""Items of the price file as a job meets them: what is needed of each, its cheapest cover by packs, and what each supplier is sent for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.rates import purchase_factor
from quoting.errors import Problem, nearest
from quoting.takeoff.needs import Need
from quoting.takeoff.numbers import TOLERANCE, total, whole_up
from quoting.trades.registry import trades
from quoting.values import Num, key

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.job.stock import Price


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


@dataclass(frozen=True, slots=True)
class Shelf:
    """An item of the price file as this job meets it: all of it that is needed, and its covers."""

    rows: tuple[Price, ...]
    needed: Num
    table: PackTable


def missing_prices(needs: Iterable[Need], brief: Brief) -> list[Problem]:
    """Items without a price, or priced in a unit that does not fit."""
    problems = []
    for need in filter(_by_book, needs):
        rows = brief.book.get(key(need.item))
        if rows is None:
            found = f'found no price of "{need.item}" in prices.csv'
            problems.append(
                Problem.of(need.named_by, found, _advice(need, brief), "no_price", item=need.item)
            )
        elif rows[0].unit.dimension not in need.amounts:
            fits = ", ".join(_USUAL[dimension] for dimension in need.amounts)
            found = f'found "{need.item}" priced by the {rows[0].unit.name} in prices.csv line {rows[0].line}'
            problems.append(
                Problem.of(
                    need.named_by,
                    found,
                    f"write a price by {fits}",
                    "unit",
                    item=need.item,
                    name=rows[0].unit.name,
                    line=rows[0].line,
                )
            )
    return problems


_USUAL = {"volume": "bd ft, m3 or L", "area": "m2", "length": "m", "mass": "kg", "count": "each", "time": "h"}


def unpriced(needs: Iterable[Need], brief: Brief) -> dict[str, str]:
    """Items that are to be bought and that the price file lacks, each with the unit that it is usually priced by."""
    return {
        need.item: _usual_unit(need) for need in filter(_by_book, needs) if key(need.item) not in brief.book
    }


def _by_book(need: Need) -> bool:
    """True of a thing that the price file must know."""
    return need.kind == "material" and need.price is None and need.supplied != "client"


def _usual_unit(need: Need) -> str:
    unit = _USUAL[next(iter(need.amounts))].split(",")[0].split(" or ")[0]
    trade = trades().get(need.trade)
    return "L" if unit == "bd ft" and not (trade and unit in trade.drivers) else unit


def _advice(need: Need, brief: Brief) -> str:
    unit = _usual_unit(need)
    close = nearest(key(need.item), brief.book)
    offered = (
        f"; or use {close.removeprefix('write ')} if you mean that" if close.startswith('write "') else ""
    )
    item = f'"{need.item}"' if "," in need.item else need.item
    of_one = "one" if unit == "each" else f"one {unit}"
    return f"write a row: {item},{unit},<price of {of_one}>,<pack or nothing>,<lead time>,<supplier>{offered}"


def shelves(needs: Iterable[Need], brief: Brief) -> dict[str, Shelf]:
    """Every item of the price file that is needed, with the quantity its packs must cover."""
    wanted: dict[str, list[Need]] = defaultdict(list)
    for need in needs:
        if need.kind == "material" and need.price is None and key(need.item) in brief.book:
            wanted[key(need.item)].append(need)
    factor = purchase_factor(brief.shop)
    found = {}
    for name, those in wanted.items():
        rows = brief.book[name]
        bought = [need for need in those if need.supplied == "bought"]
        amounts = [in_units(need, rows) for need in bought or those]
        table = pack_table(tuple(Pack(row.pack or 0.0, row.price * factor) for row in rows))
        found[name] = Shelf(rows, total(amounts), table)
    return found


def in_units(need: Need, rows: tuple[Price, ...]) -> Num:
    """The quantity of a need in the unit its price is given for."""
    unit = rows[0].unit
    return need.amounts[unit.dimension] / unit.factor


def bought_needs(needs: Iterable[Need]) -> list[Need]:
    """Needs that something is bought for, as it is ordered: of what a cut plan charges in part, the whole."""
    bought = (need for need in needs if need.kind in ("material", "outside") and need.supplied == "bought")
    return [need if need.ordered == 1.0 else need.times(need.ordered) for need in bought]


def orders(needs: Iterable[Need], brief: Brief) -> dict[str, Num]:
    """What is ordered from each supplier [money]: whole packs of the price file, and things at their own price."""
    bought = bought_needs(needs)
    found: dict[str, Num] = defaultdict(float)
    for shelf in shelves(bought, brief).values():
        supplier = shelf.rows[0].supplier
        found[supplier] = found[supplier] + shelf.table.cost(shelf.needed)
    for need in bought:
        if need.price is not None:
            found[need.supplier] = found[need.supplier] + need.price
    return found
