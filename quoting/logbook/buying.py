"""What to buy for several pieces in one errand: packs for the sum of their needs, less what their logs tell is there."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quoting.costing.packs import Pack, pack_table
from quoting.costing.rates import purchase_factor
from quoting.job.shop import Shop
from quoting.job.stock import Price
from quoting.logbook.in_hand import in_hand, quantities_left
from quoting.logbook.piece import Piece
from quoting.money import exact
from quoting.pricing.lists import AS_ORDERED, in_packs
from quoting.pricing.record import Buying, Priced
from quoting.takeoff.numbers import TOLERANCE
from quoting.values import key

ORDER = "order"
"""The unit of carriage, which belongs to an errand and to no piece."""


class Share(NamedTuple):
    """What a piece needs of an item in all, and what is still to be bought of it [unit]; `alone` is what that would cost if it were bought
    for this piece alone [money].
    """

    name: str
    needed: float
    left: float
    alone: Decimal

    @property
    def had(self) -> float:
        """What its log tells is there, or used [unit]."""
        return self.needed - self.left


class ToBuy(NamedTuple):
    """An item: what all pieces together still need, in which packs it is bought and for how much [money]; `dated` is the day of its oldest
    price.
    """

    item: str
    unit: str
    needed: float
    bought: float
    packs: str
    amount: Decimal
    lead_days: float
    dated: date | None
    shares: tuple[Share, ...]


class Errand(NamedTuple):
    """What is bought of one supplier, and the carriage of an order that is too small to come free [money]."""

    supplier: str
    items: tuple[ToBuy, ...]
    carriage: Decimal

    @property
    def amount(self) -> Decimal:
        """What is paid, carriage in it [money]."""
        return sum((one.amount for one in self.items), self.carriage)


class Wanted(NamedTuple):
    """A row of the buying list of one piece, and the share of it that is still to be bought."""

    name: str
    row: Buying
    left: float


def wanted_of_plan(name: str, plan: Priced) -> Iterator[Wanted]:
    """Everything that is bought for a piece of which nothing is there."""
    return (Wanted(name, row, 1.0) for row in plan.buying if row.unit != ORDER)


def wanted_of_piece(piece: Piece) -> Iterator[Wanted]:
    """The same for a piece whose log tells what is there: of each item as much as its lines have left."""
    lines = in_hand(piece).lines
    left = quantities_left(piece, lines)
    for row in piece.plan.buying:
        mine = [
            one.line
            for one in lines
            if key(one.line.item) == key(row.item)
            and ((one.line.material and one.line.supplied == "bought") or one.line.by_others)
        ]
        whole = sum(line.quantity for line in mine)
        if row.unit != ORDER and whole:
            yield Wanted(str(piece.number), row, sum(left.get(line.id, 0.0) for line in mine) / whole)


def errands(
    wanted: Iterable[Wanted], book: Mapping[str, tuple[Price, ...]], shop: Shop, digits: int
) -> tuple[Errand, ...]:
    """The list, the dearest supplier first. Prices and packs are those of the price file; a thing at a price of its own, or in a unit that
    the book has no longer, costs what its piece reckoned.
    """
    same: dict[tuple[str, str, str], list[Wanted]] = defaultdict(list)
    for one in wanted:
        own = one.row.supplier if _rows(one.row, book) is None else ""
        same[key(one.row.item), one.row.unit, own].append(one)
    of: dict[str, list[ToBuy]] = defaultdict(list)
    for those in same.values():
        supplier, item = _item(those, _rows(those[0].row, book), shop, digits)
        if item.needed > TOLERANCE:
            of[supplier].append(item)
    found = [Errand(name, tuple(items), _carriage(name, items, shop, digits)) for name, items in of.items()]
    return tuple(sorted(found, key=lambda one: (-one.amount, one.supplier)))


def _rows(row: Buying, book: Mapping[str, tuple[Price, ...]]) -> tuple[Price, ...] | None:
    rows = book.get(key(row.item), ())
    return rows if rows and row.packs != AS_ORDERED and rows[0].unit.name == row.unit else None


def _item(
    those: Sequence[Wanted], rows: tuple[Price, ...] | None, shop: Shop, digits: int
) -> tuple[str, ToBuy]:
    """An item with its supplier."""
    row, needed = those[0].row, sum(one.row.needed * one.left for one in those)
    lead = max(one.row.lead_days for one in those)
    if rows is None:
        alone = [exact(float(one.row.amount) * one.left, digits) for one in those]
        amount, packs, bought, supplier, dated = (
            sum(alone, exact(0, digits)),
            AS_ORDERED,
            needed,
            row.supplier,
            None,
        )
    else:
        factor = purchase_factor(shop)
        table = pack_table(tuple(Pack(one.pack or 0.0, one.price * factor) for one in rows))
        cover = table.bought(needed)
        alone = [exact(table.bought(one.row.needed * one.left).cost, digits) for one in those]
        amount, bought, supplier = exact(cover.cost, digits), cover.units, rows[0].supplier
        packs, lead = in_packs(cover, table, row.unit), max(one.lead_days for one in rows)
        dated = min((one.dated for one in rows if one.dated), default=None)
    shares = tuple(
        Share(one.name, one.row.needed, one.row.needed * one.left, cost)
        for one, cost in zip(those, alone, strict=True)
    )
    return supplier, ToBuy(row.item, row.unit, needed, bought, packs, amount, lead, dated, shares)


def _carriage(name: str, items: Sequence[ToBuy], shop: Shop, digits: int) -> Decimal:
    """Carriage of an order that is too small to come free [money]."""
    known = next((one for other, one in shop.supplier.items() if key(other) == key(name)), None)
    order = float(sum(one.amount for one in items))
    return exact(known.carriage if known is not None and order < known.least_order else 0.0, digits)
