"""The buying list in numbers that remember."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.costing.lines import own_quantity
from quoting.costing.shelf import bought_needs, shelves
from quoting.formulas.number import value_of
from quoting.pricing.lists import at_own_price
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.costing.model import Cost
    from quoting.job.brief import Brief


class PackPrice(NamedTuple):
    """A price of an item that comes in several packs: which of them are bought moves in steps."""

    item: str
    unit: str
    price: float
    pack: float | None


class Bought(NamedTuple):
    """A line of the buying list: its item and unit, what is needed and bought of it, what that costs."""

    item: str
    supplier: str
    unit: str
    needed: Any
    bought: Any
    costs: list[Any]
    pack: float | None


def bought_live(run: Cost, brief: Brief) -> Iterator[Bought]:
    """The lines of the buying list in the order of `pricing.buying`, carriage that may yet fall due included."""
    needs = bought_needs(run.needed.needs)
    for shelf in shelves(needs, brief).values():
        if value_of(shelf.needed) > 0:
            single = len(shelf.table.packs) == 1 and shelf.table.loose is None
            pack = shelf.table.packs[0].size if single else None
            row = shelf.rows[0]
            units, paid = shelf.table.got(shelf.needed), shelf.table.cost(shelf.needed)
            yield Bought(row.item, row.supplier, row.unit.name, shelf.needed, units, [paid], pack)
    for (item, supplier, unit), those in at_own_price(needs).items():
        quantity = sum(own_quantity(need) for need in those)
        yield Bought(item, supplier, unit, quantity, quantity, [need.price for need in those], None)
    for line in run.lines:
        if line.group == "carriage":
            supplier = line.item.partition(", ")[2]
            yield Bought(line.item, supplier, "order", line.quantity, line.quantity, [line.amount], None)


def pack_prices(bought: tuple[Bought, ...], brief: Brief) -> Iterator[PackPrice]:
    """Prices of everything bought that comes in several packs."""
    for one in bought:
        rows = brief.book.get(key(one.item), ())
        if len(rows) > 1:
            yield from (PackPrice(row.item, row.unit.name, row.price, row.pack) for row in rows)
