"""Outside work: a subcontractor's price."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.takeoff.needs import TakeOff, part_need
from quoting.values import Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.outwork.record import Outwork


def take_off(part: Outwork, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """A subcontractor's price."""
    price = pick(part.price)
    said = basis("the price of the outside shop, {price:money}", price=price)
    need = part_need(
        "outwork", part, "price", {"count": 1.0}, said, "outside",
        field="what", price=price, supplier=part.supplier, lead_days=part.lead or 0.0,
    )  # fmt: skip
    return TakeOff(needs=(need,))
