"""Items of the price book as a job meets them: what is needed of each, its covers, and what each supplier is sent for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.packs import Pack, PackTable, pack_table
from quoting.costing.rates import purchase_factor
from quoting.errors import Problem, nearest
from quoting.takeoff.needs import Need
from quoting.trades.registry import trades
from quoting.values import Num, key

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.job.stock import Price


@dataclass(frozen=True, slots=True)
class Shelf:
    """An item of the price book as this job meets it: all of it that is needed, and its covers."""

    rows: tuple[Price, ...]
    needed: Num
    table: PackTable


def missing_prices(needs: Iterable[Need], brief: Brief) -> list[Problem]:
    """Items without a price, or priced in a unit that does not fit."""
    problems = []
    for need in needs:
        if need.kind != "material" or need.price is not None or need.supplied == "client":
            continue
        rows = brief.book.get(key(need.item))
        if rows is None:
            found = f'found no price of "{need.item}" in prices.csv'
            problems.append(Problem(need.named_by, found, _advice(need, brief)))
        elif rows[0].unit.dimension not in need.amounts:
            fits = ", ".join(_USUAL[dimension] for dimension in need.amounts)
            found = f'found "{need.item}" priced by the {rows[0].unit.name} in prices.csv line {rows[0].line}'
            problems.append(Problem(need.named_by, found, f"write a price by {fits}"))
    return problems


_USUAL = {"volume": "bd ft, m3 or L", "area": "m2", "length": "m", "mass": "kg", "count": "each", "time": "h"}


def _advice(need: Need, brief: Brief) -> str:
    unit = _USUAL[next(iter(need.amounts))].split(",")[0].split(" or ")[0]
    trade = trades().get(need.trade)
    if unit == "bd ft" and not (trade and unit in trade.drivers):
        unit = "L"
    close = nearest(key(need.item), brief.book)
    offered = (
        f"; or use {close.removeprefix('write ')} if you mean that" if close.startswith('write "') else ""
    )
    item = f'"{need.item}"' if "," in need.item else need.item
    of_one = "one" if unit == "each" else f"one {unit}"
    return f"write a row: {item},{unit},<price of {of_one}>,<pack or nothing>,<lead time>,<supplier>{offered}"


def shelves(needs: Iterable[Need], brief: Brief) -> dict[str, Shelf]:
    """Every item of the price book that is needed, with the quantity its packs must cover."""
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
        found[name] = Shelf(rows, sum(amounts, start=np.float64(0)), table)
    return found


def in_units(need: Need, rows: tuple[Price, ...]) -> Num:
    """The quantity of a need in the unit its price is given for."""
    unit = rows[0].unit
    return need.amounts[unit.dimension] / unit.factor


def bought_needs(needs: Iterable[Need]) -> list[Need]:
    """Needs that something is bought for, as it is ordered: of what a cut plan charges in part, the whole."""
    return [
        _as_ordered(need)
        for need in needs
        if need.kind in ("material", "outside") and need.supplied == "bought"
    ]


def _as_ordered(need: Need) -> Need:
    if need.ordered == 1.0:
        return need
    amounts = {name: amount * need.ordered for name, amount in need.amounts.items()}
    price = None if need.price is None else need.price * need.ordered
    return replace(need, amounts=amounts, price=price)


def orders(needs: Iterable[Need], brief: Brief) -> dict[str, Num]:
    """What is ordered from each supplier [money]: whole packs of the price book, and things at their own price."""
    bought = bought_needs(needs)
    found: dict[str, Num] = defaultdict(float)
    for shelf in shelves(bought, brief).values():
        supplier = shelf.rows[0].supplier
        found[supplier] = found[supplier] + shelf.table.cost(shelf.needed)
    for need in bought:
        if need.price is not None:
            found[need.supplier] = found[need.supplier] + need.price
    return found
