"""What of the stock that is cut is charged, and what take-off is told of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cut_plans.supply import area
from quoting.reading.yields import Yield
from quoting.values import basis

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.cut_plans.supply import Supply
    from quoting.job.prices import Price
    from quoting.job.shop import Shop
    from quoting.nesting.record import SawnStock
    from quoting.reading.yields import Kind
    from quoting.takeoff.stock import CutGroup

MEASURES = ("volume", "area", "length")
"""What blanks are measured in: of timber, of sheets, of bars."""

WORDS: dict[Kind, str] = {
    "": "x {factor:number} by the cut plan",
    "yard": "x {factor:number} by the cut plan, from stock at its own price",
    "rack": "x {factor:number} by the cut plan, from the rack",
}


def used_share(one: Supply, kept_m2: float, group: CutGroup, shop: Shop) -> float:
    """The share of a stock that is charged: all of it; or what is not kept of it and the shop's waste on that, at most all.

    Stock of the rack is always charged so: what goes back lies there for the next job.
    """
    cut = shop.cut
    if one.kind != "rack" and not group.as_used and cut.charge == "whole":
        return 1.0
    return min((1 - kept_m2 / area(one.row)) * (1 + cut.shelf_waste), 1.0)


def yields_of(
    group: CutGroup, cut: Sequence[tuple[Supply, SawnStock]], rows: Sequence[Price]
) -> Iterator[tuple[str, tuple[Yield, ...]]]:
    """What every part takes of each kind of stock, by its path: all parts of a group share alike. `rows` of the price book say who
    sells the item.
    """
    net = sum(one.net for one in group.blanks)
    kinds = dict.fromkeys(one.kind for one, _ in cut)
    found = tuple(_yield(kind, net, [one for one in cut if one[0].kind == kind], rows) for kind in kinds)
    for blanks in group.blanks:
        yield blanks.path, found


def _yield(kind: Kind, net: float, cut: Sequence[tuple[Supply, SawnStock]], rows: Sequence[Price]) -> Yield:
    measures = cut[0][0].amounts
    amounts = {
        name: sum(one.amounts[name] * sawn.number * sawn.used for one, sawn in cut) / net for name in measures
    }
    measure = next(name for name in MEASURES if name in measures)
    factor = amounts[measure]
    whole = sum(one.amounts[measure] * sawn.number for one, sawn in cut) / net
    money = sum(one.price * sawn.number * sawn.used for one, sawn in cut) / net
    ordered = whole / factor if factor and kind != "rack" else 1.0
    found = Yield(amounts, basis(WORDS[kind], factor=factor), kind, money if kind else None, ordered)
    if kind != "yard" or not rows:
        return found
    return found._replace(supplier=rows[0].supplier, lead_days=max(row.lead_days for row in rows))
