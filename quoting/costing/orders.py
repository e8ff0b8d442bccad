"""What is ordered from each supplier."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.costing.shelf import shelves

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.inputs.brief import Brief
    from quoting.takeoff.record import Need
    from quoting.values import Num


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
