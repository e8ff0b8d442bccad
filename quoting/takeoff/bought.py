"""Things bought as they are, outside work, and setbacks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.labour import hours_need
from quoting.takeoff.numbers import picked
from quoting.takeoff.record import Need, TakeOff
from quoting.values import Uncertain, basis

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.job.shop import Shop
    from quoting.job.trades import Buy, Outwork, Setback
    from quoting.reading.tables import Tables
    from quoting.values import Num, Pick


def buy_take_off(part: Buy, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Anything bought: its quantity, at its own price for a unit or the price book's."""
    amount, unit = pick(part.quantity.amount), part.quantity.unit
    each = None if part.price is None else pick(part.price)
    words = "{amount:" + unit.dimension + "}"
    words += "" if each is None else " x {each:money} for one {unit}"
    return TakeOff(
        needs=(
            Need(
                id=f"buy.{part.id}.item",
                trade="buy",
                part=part.part or part.item,
                kind="material",
                item=part.item,
                amounts={unit.dimension: amount},
                basis=basis(words, amount=amount, each=each, unit=unit.name),
                stage=part.stage or "bench",
                named_by=f"buy.{part.id}.item",
                supplied=part.supplied,
                price=None if each is None else amount / unit.factor * each,
                unit=(unit.name, unit.factor),
                supplier=part.supplier,
                lead_days=part.lead or 0.0,
            ),
        ),
        mass_kg=_mass_kg(part, amount),
    )


def _mass_kg(part: Buy, amount: Num) -> Num:
    """Mass of a bought thing [kg]: of each where it is counted, itself where it is weighed, else as given."""
    dimension = part.quantity.unit.dimension
    if dimension == "count":
        return part.mass * amount
    return amount if dimension == "mass" else part.mass


def outwork_take_off(part: Outwork, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
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


def setback_take_off(part: Setback, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Something that may go wrong: chance x effect in the plan, a coin in the draws."""
    coin = Uncertain(0.0, part.chance, 1.0, f"setback.{part.id}.chance", coin=True)
    occurs = pick(coin)
    cost, hours = picked(pick, part.cost), picked(pick, part.hours)
    needs = [
        Need(
            id=f"setback.{part.id}.cost",
            trade="setback",
            part=part.part or part.what,
            kind="allowance",
            item=part.what,
            amounts={"count": occurs},
            basis=basis("chance {chance:share} x {cost:money}", chance=part.chance, cost=cost),
            stage=part.stage or "bench",
            price=occurs * cost,
        )
    ]
    if part.hours is not None:
        words = basis("chance {chance:share} x {hours:time}", chance=part.chance, hours=hours)
        needs.append(
            hours_need(
                trade="setback",
                part=part,
                name="hours",
                hours=occurs * hours,
                words=words,
                who=part.who or "owner",
            )
        )
    return TakeOff(needs=tuple(needs) if part.cost is not None else tuple(needs[1:]))


def buy_problems(part: Buy, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A supplier and a lead of its own belong to a price of its own; else the price book names them."""
    if part.price is None and (part.supplier or part.lead is not None):
        words = "found a supplier or a lead without a price"
        yield Problem(f"buy.{part.id}.price", words, "write a price for one, or put them into prices.csv")
