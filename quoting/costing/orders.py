"""What is ordered from each supplier."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from quoting.costing.shelf import shelves

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.inputs.brief import Brief
    from quoting.takeoff.record import Need
    from quoting.values import Num


def orders(needs: Iterable[Need], brief: Brief) -> dict[str, Num]:
    """What is ordered from each supplier [money]: whole packs of the price book, and things at their own price."""
    bought = [need for need in needs if need.kind in ("material", "outside") and need.supplied == "bought"]
    found: dict[str, Num] = defaultdict(float)
    for shelf in shelves(bought, brief).values():
        supplier = shelf.rows[0].supplier
        found[supplier] = found[supplier] + shelf.table.cost(shelf.needed)
    for need in bought:
        if need.price is not None:
            found[need.supplier] = found[need.supplier] + need.price
    return found
