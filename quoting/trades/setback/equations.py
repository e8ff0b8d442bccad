"""Setbacks: what may go wrong, by its chance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.labour import hours_need
from quoting.takeoff.needs import TakeOff, part_need
from quoting.takeoff.numbers import picked
from quoting.values import Pick, Uncertain, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.setback.record import Setback


def take_off(part: Setback, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Something that may go wrong: chance x effect in the plan, a coin in the draws."""
    coin = Uncertain(0.0, part.chance, 1.0, f"setback.{part.id}.chance", coin=True)
    occurs = pick(coin)
    cost, hours = picked(pick, part.cost), picked(pick, part.hours)
    needs = []
    if part.cost is not None:
        words = basis("chance {chance:share} x {cost:money}", chance=part.chance, cost=cost)
        price = occurs * cost
        needs.append(
            part_need(
                "setback", part, "cost", {"count": occurs}, words, "allowance", field="what", price=price
            )
        )
    if part.hours is not None:
        words = basis("chance {chance:share} x {hours:time}", chance=part.chance, hours=hours)
        needs.append(hours_need("setback", part, "hours", occurs * hours, words, part.who or "owner"))
    return TakeOff(needs=tuple(needs))


def rules(part: Setback) -> Iterator[Problem]:
    """What it would take, and a chance."""
    if part.hours is None and part.cost is None:
        yield Problem.of(
            f"setback.{part.id}", "found neither hours nor cost", "write what it would take", "missing"
        )
    if part.chance > 1:
        yield Problem.of(
            f"setback.{part.id}.chance",
            f"found {part.chance:g}",
            "write a chance from 0 to 1",
            "too_large",
            chance=part.chance,
        )
