"""Items of the price file as a job meets them: what is needed of each, which prices are missing, and what is ordered from each supplier."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from quoting.costing.packs import Pack, PackTable, pack_table
from quoting.costing.rates import purchase_factor
from quoting.errors import Problem, nearest
from quoting.takeoff.needs import Need
from quoting.takeoff.numbers import total
from quoting.trades.registry import trades
from quoting.values import Num, key

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.job.stock import Price


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
