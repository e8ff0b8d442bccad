"""Needs become lines: a quantity in the unit of its price, a rate, an amount."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.rates import machine_rate, pay_rate
from quoting.costing.shelf import Shelf, in_units, shelves
from quoting.takeoff.needs import Kind, Need
from quoting.trades.registry import groups
from quoting.values import Basis, Num, Pick, basis, key, slug

if TYPE_CHECKING:
    from quoting.job.brief import Brief


MATERIAL = ("material", "wear")
"""Kinds of lines that are things: bought for the job, or worn by it a little."""

PACKS = ".packs"
"""How the id of a line ends that parts share because its item is charged by whole packs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of cost, unrounded. `group` is what it is summed under: a trade, labour, machine, ...

    `amount` is what the price rests on: nothing for what the client brings. `source` says where the
    rate comes from; `worth` is the amount before asking who supplies it; `kept` the share of
    it that is in the finished piece.
    """

    id: str
    group: str
    part: str
    item: str
    stage: str
    quantity: Num
    unit: str
    rate: Num
    supplied: str
    basis: Basis
    source: Basis
    amount: Num
    worth: Num
    kind: Kind
    kept: Num = 1.0

    @property
    def material(self) -> bool:
        """True for a thing that is bought by the piece, litre or metre."""
        return self.kind in MATERIAL

    @property
    def scrap(self) -> Num:
        """What is paid for that does not end up in the piece [money]."""
        return self.amount * (1.0 - self.kept)


def lines(needs: Iterable[Need], brief: Brief, pick: Pick) -> list[Line]:
    """A line for every need, in their order; items charged by whole packs become one shared line."""
    needs = list(needs)
    on_shelf = shelves(needs, brief)
    pace = pick(brief.shop.pace.factor)
    whole = {key(item) for item in brief.shop.pricing.charge_packs}
    done: set[str] = set()
    result = []
    for need in needs:
        shared = need.kind == "material" and need.price is None and key(need.item) in whole
        if shared and need.supplied == "bought":
            if key(need.item) not in done:
                done.add(key(need.item))
                result.append(_shared_line(need, on_shelf[key(need.item)]))
        elif need.kind == "labour":
            result.append(_labour_line(need, brief, pace))
        elif need.kind == "machine":
            hour = machine_rate(brief.shop.machine[need.item]).per_hour
            source = basis("shop file, machine {name}", name=need.item)
            result.append(line_of(need, "machine", need.amounts["time"], "h", hour, source))
        elif need.price is not None or key(need.item) not in brief.book:
            result.append(_own_price_line(need))
        else:
            shelf = on_shelf[key(need.item)]
            quantity, unit = in_units(need, shelf.rows), shelf.rows[0].unit.name
            rate = shelf.table.rate(shelf.needed)
            result.append(line_of(need, need.trade, quantity, unit, rate, _book_source(shelf)))
    return result


def line_of(need: Need, group: str, quantity: Num, unit: str, rate: Num, source: Basis) -> Line:
    """The line of a need at a rate; what the client brings costs nothing."""
    worth = quantity * rate
    return Line(
        id=need.id,
        group=group,
        part=need.part,
        item=need.item,
        stage=need.stage,
        quantity=quantity,
        unit=unit,
        rate=0.0 * rate if need.supplied == "client" else rate,
        supplied=need.supplied,
        basis=need.basis,
        source=source,
        amount=worth * (0.0 if need.supplied == "client" else 1.0),
        worth=worth,
        kind=need.kind,
        kept=need.kept,
    )


def _labour_line(need: Need, brief: Brief, pace: Num) -> Line:
    """Hours at the pace of the shop, which is named where it is planned to differ from the standards; an allowance has its hours
    with its money.
    """
    rate = pay_rate(brief.shop.pay[need.item])
    own = groups().get(need.trade)
    group = own.name if own is not None and own.kind == "allowance" else "labour"
    source = basis("shop file, pay {who}", who=need.item)
    if brief.shop.pace.factor.likely != 1:
        words = Basis(need.basis.words + " x pace {pace:number}", {**need.basis.numbers, "pace": pace})
        need = replace(need, basis=words)
    return line_of(need, group, need.amounts["time"] * pace, "h", rate.per_hour, source)


def own_quantity(need: Need) -> Num:
    """The quantity of a thing at its own price, in the unit it was written in."""
    amount = need.amounts.get("count")
    return (next(iter(need.amounts.values())) if amount is None else amount) / need.unit[1]


def _own_price_line(need: Need) -> Line:
    """A line at its own price: firm, by tariff, from outside, or an allowance; nothing for a client's thing."""
    quantity = own_quantity(need)
    price = 0.0 if need.price is None else need.price
    some = np.where(quantity > 0, quantity, 1.0)
    source = basis("{source}", source=need.source)
    return line_of(need, need.trade, quantity, need.unit[0], price / some, source)


def _book_source(shelf: Shelf) -> Basis:
    row = shelf.rows[0]
    words = "price file line {line}"
    words += ", {supplier}" if row.supplier else ""
    words += ", dated {dated}" if row.dated else ""
    words += ", cheapest of {packs} packs" if len(shelf.rows) > 1 else ""
    packs = str(len(shelf.rows))
    return basis(words, line=str(row.line), supplier=row.supplier, dated=str(row.dated), packs=packs)


def _shared_line(need: Need, shelf: Shelf) -> Line:
    """All of an item that several parts share, charged by whole packs."""
    cost = shelf.table.cost(shelf.needed)
    some = np.where(shelf.needed > 0, shelf.needed, 1.0)
    unit = shelf.rows[0].unit.name
    said = "{needed:count} {unit} in whole packs, charged {cost:money} in all"
    words = basis(said, needed=shelf.needed, unit=unit, cost=cost)
    id = f"{need.trade}.{slug(need.item)}{PACKS}"
    need = replace(need, id=id, part="all parts", basis=words, kept=1.0)
    line = line_of(need, need.trade, shelf.needed, unit, cost / some, _book_source(shelf))
    return replace(line, amount=cost, worth=cost)
