"""Outside work: a subcontractor's price."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.takeoff.needs import Need, TakeOff
from quoting.values import basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.outwork.record import Outwork
    from quoting.values import Pick


def take_off(part: Outwork, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """A subcontractor's price."""
    price = pick(part.price)
    return TakeOff(
        needs=(
            Need(
                id=f"outwork.{part.id}.price",
                trade="outwork",
                part=part.part or part.what,
                kind="outside",
                item=part.what,
                amounts={"count": 1.0},
                basis=basis("the price of the outside shop, {price:money}", price=price),
                stage=part.stage or "bench",
                price=price,
                supplier=part.supplier,
                lead_days=part.lead or 0.0,
            ),
        )
    )
