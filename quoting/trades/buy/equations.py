"""Things bought as they are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.needs import TakeOff, part_need
from quoting.values import Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.buy.record import Buy


def take_off(part: Buy, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Anything bought: its quantity, at its own price for a unit or the price file's."""
    amount, unit = pick(part.quantity.amount), part.quantity.unit
    each = None if part.price is None else pick(part.price)
    words = "{amount:" + unit.dimension + "}"
    words += "" if each is None else " x {each:money} for one {unit}"
    said = basis(words, amount=amount, each=each, unit=unit.name)
    price = None if each is None else amount / unit.factor * each
    need = part_need(
        "buy", part, "item", {unit.dimension: amount}, said, supplied=part.supplied, price=price,
        unit=(unit.name, unit.factor), supplier=part.supplier, lead_days=part.lead or 0.0,
    )  # fmt: skip
    return TakeOff(
        needs=(need,),
        # of each where it is counted, itself where it is weighed, else as given
        mass_kg={"count": part.mass * amount, "mass": amount}.get(unit.dimension, part.mass),
    )


def problems(part: Buy, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A supplier and a lead of its own belong to a price of its own; else the price file names them."""
    if part.price is None and (part.supplier or part.lead is not None):
        words = "found a supplier or a lead without a price"
        yield Problem.of(
            f"buy.{part.id}.price", words, "write a price for one, or put them into prices.csv", "missing"
        )
