"""Lines of the plan filled by what happened: pure, so that taking an entry back restores every figure.

Hours are worth the pay of who worked. Material used is worth what was paid for it, where money and quantity were logged, else
the plan's price; where money was logged without a quantity, it is all of the item's cost. Overhead and sundries follow.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.costing.lines import MATERIAL_GROUPS
from quoting.money import exact, shared_out, trusted
from quoting.review.fill_targets import Lines, shares
from quoting.review.known import hour_lines
from quoting.review.worth import rate_of, trip_cost
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced, PricedLine


class Filled(NamedTuple):
    """A line and what happened on it: quantity and cost so far, money paid and quantity bought for it.

    `logged` is true where an entry speaks of it; a line that nobody spoke of is not recorded, which is not nothing.
    """

    line: PricedLine
    quantity: float
    amount: Decimal
    bought: float
    paid: Decimal
    logged: bool


@dataclass(slots=True)
class Sum:
    """What entries add up to on one line."""

    quantity: float = 0.0
    worth: Decimal = field(default_factory=Decimal)
    bought: float = 0.0
    paid: Decimal = field(default_factory=Decimal)
    uncounted: bool = False
    logged: bool = False


def filled(plan: Priced, entries: Sequence[Entry]) -> tuple[Filled, ...]:
    """Every line of the plan, then every line that it lacks, with what the entries that hold say of it."""
    lines = Lines(plan)
    sums: dict[str, Sum] = defaultdict(Sum)
    for entry in entries:
        targets = lines.filled_by(entry)
        if targets:
            _add(entry, targets, sums, plan)
    there = list(lines.by_id.values())
    costs = _costs(there, sums, plan.digits)
    found = [
        Filled(
            line,
            sums[line.id].quantity,
            costs[line.id],
            sums[line.id].bought,
            sums[line.id].paid,
            sums[line.id].logged,
        )
        for line in there
    ]
    hours = labour_hours(found)
    materials = sum((one.amount for one in found if one.line.trade in MATERIAL_GROUPS), Decimal(0))
    return tuple(_following(one, hours, materials, plan.digits) for one in found)


def labour_hours(lines: Iterable[Filled]) -> float:
    """Hours of people, setbacks included [h]."""
    return sum(one.quantity for one in lines if hour_lines([one.line]))


def follows(line: PricedLine) -> str:
    """What a line follows from: "hours" for overhead and sundries an hour, "materials" for a share of them; else ""."""
    if line.trade == "overhead" or (line.trade == "sundries" and line.id.endswith(".hours")):
        return "hours"
    return "materials" if line.trade == "sundries" else ""


def _following(one: Filled, hours: float, materials: Decimal, digits: int) -> Filled:
    rule = follows(one.line)
    if not rule:
        return one
    quantity = hours if rule == "hours" else float(materials)
    return one._replace(
        quantity=quantity, amount=exact(quantity * one.line.rate, digits), logged=bool(quantity)
    )


def _add(entry: Entry, targets: list[PricedLine], sums: Mapping[str, Sum], plan: Priced) -> None:
    """Add an entry to its lines; its money is shared out among them to the last minor unit."""
    parts = shares(targets) if entry.kind != "setback" else [1.0] * len(targets)
    weights = [trusted(part) for part in parts]
    worth = [Decimal(0)] * len(targets)
    if entry.kind in ("hours", "machine"):
        hour = targets[0].rate if entry.kind == "machine" else rate_of(plan, f"pay.{entry.who}")
        worth = shared_out(exact((entry.amount or 0.0) * hour, plan.digits), weights, plan.digits)
    elif entry.kind == "trip":
        worth = [exact(trip_cost(entry, plan), plan.digits)]
    money = shared_out(entry.money or Decimal(0), weights, plan.digits)
    for line, part, own, paid in zip(targets, parts, worth, money, strict=True):
        total = sums[line.id]
        total.logged = True
        total.worth += own
        if entry.kind in ("paid", "credited"):
            sign = 1 if entry.kind == "paid" else -1
            total.paid += sign * paid
            total.bought += sign * (entry.amount or 0.0) * part
            total.uncounted = total.uncounted or entry.amount is None
        elif entry.kind == "setback":
            hours = line.measure == "h"
            total.quantity += (entry.hours or 0.0) if hours else 1.0
            pay = exact((entry.hours or 0.0) * rate_of(plan, f"pay.{entry.who}"), plan.digits)
            total.worth += pay if hours else entry.money or Decimal(0)
        elif entry.kind == "trip":
            total.quantity += 1
        else:
            total.quantity += (entry.amount or 0.0) * part


def _costs(lines: list[PricedLine], sums: Mapping[str, Sum], digits: int) -> dict[str, Decimal]:
    """Cost so far by line; things of one item are reckoned together, for one delivery serves several lines."""
    costs = {line.id: sums[line.id].worth + (sums[line.id].paid) for line in lines}
    items: dict[str, list[PricedLine]] = defaultdict(list)
    for line in lines:
        if line.trade in MATERIAL_GROUPS:
            items[key(line.item)].append(line)
    for same in items.values():
        costs |= _item_costs(same, [sums[line.id] for line in same], digits)
    return costs


def _item_costs(lines: list[PricedLine], sums: list[Sum], digits: int) -> dict[str, Decimal]:
    paid = sum((one.paid for one in sums), Decimal(0))
    bought = sum(one.bought for one in sums)
    used = [one.quantity for one in sums]
    if any(one.uncounted for one in sums) or (paid and not any(used)):
        weights = [trusted(quantity) for quantity in used]
        spread = shared_out(paid, weights, digits) if sum(weights) > 0 else [one.paid for one in sums]
        return {line.id: money for line, money in zip(lines, spread, strict=True)}
    found = {}
    for line, quantity in zip(lines, used, strict=True):
        rate = float(paid) / bought if bought > 0 else 0.0 if line.supplied == "client" else line.rate
        found[line.id] = exact(quantity * rate, digits)
    return found
