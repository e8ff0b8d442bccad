"""Lines of the plan filled by what happened: pure, so that taking an entry back restores every figure.

Hours are worth the pay of who worked; what material is worth is told in `material`. Overhead and sundries follow.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.logbook.fill_targets import Lines, shares
from quoting.logbook.names import hour_lines
from quoting.logbook.so_far import Progress, material_costs, rate_of, trip_cost
from quoting.money import exact, shared_out, trusted

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from quoting.ledger.entries import Entry
    from quoting.ledger.states import Standing
    from quoting.pricing.record import Priced, PricedLine


class Filled(NamedTuple):
    """A line and what happened on it: quantity and cost so far, what of it was spoiled, money paid and quantity bought.

    `logged` is true where an entry speaks of it; a line that nobody spoke of is not recorded, which is not nothing.
    `entries` counts what its amount was rounded from; `lump` is true where money was paid without a count.
    """

    line: PricedLine
    quantity: float
    amount: Decimal
    spoiled: float
    bought: float
    paid: Decimal
    logged: bool
    entries: int = 0
    lump: bool = False


@dataclass(slots=True)
class Sum:
    """What entries add up to on one line. `lump` is true where money was paid without a count."""

    used: float = 0.0
    spoiled: float = 0.0
    worth: Decimal = field(default_factory=Decimal)
    bought: float = 0.0
    paid: Decimal = field(default_factory=Decimal)
    lump: bool = False
    entries: int = 0

    @property
    def logged(self) -> bool:
        """True where an entry speaks of the line."""
        return self.entries > 0


def filled(
    plan: Priced, entries: Sequence[Entry], standing: Standing, former: Sequence[Priced] = ()
) -> tuple[Filled, ...]:
    """Every line of the plan, then every line that it lacks, with what the entries that hold say of it.

    `former` are earlier plans of the piece: a line that a change took out of it keeps what was done on it.
    """
    lines = Lines(plan, former)
    sums: dict[str, Sum] = defaultdict(Sum)
    for entry in entries:
        targets = lines.filled_by(entry)
        if targets:
            _add(entry, targets, sums, plan)
    there = list(lines.by_id.values())
    costs = {line.id: sums[line.id].worth + sums[line.id].paid for line in there}
    costs |= material_costs(there, sums, Progress(entries, standing), plan.digits)
    found = [_filled(line, sums[line.id], costs[line.id]) for line in there]
    hours = labour_hours(found)
    materials = sum((one.amount for one in found if one.line.material), Decimal(0))
    return tuple(_following(one, hours, materials, plan.digits) for one in found)


def labour_hours(lines: Iterable[Filled]) -> float:
    """Hours of people, setbacks included [h]."""
    return sum(one.quantity for one in lines if hour_lines([one.line]))


def follows(line: PricedLine) -> str:
    """What a line follows from: "hours" for overhead and sundries an hour, "materials" for a share of them; else ""."""
    if line.trade == "overhead" or (line.trade == "sundries" and line.id.endswith(".hours")):
        return "hours"
    return "materials" if line.trade == "sundries" else ""


def _filled(line: PricedLine, total: Sum, cost: Decimal) -> Filled:
    quantity = total.used + total.spoiled
    return Filled(
        line, quantity, cost, total.spoiled, total.bought, total.paid, total.logged, total.entries, total.lump
    )


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
    if entry.kind == "setback":
        _add_setback(entry, targets, sums, plan)
        return
    parts = shares(targets)
    weights = [trusted(part) for part in parts]
    worth = shared_out(_worth(entry, targets[0], plan), weights, plan.digits)
    money = shared_out(entry.money or Decimal(0), weights, plan.digits)
    for line, part, own, paid in zip(targets, parts, worth, money, strict=True):
        total, quantity = sums[line.id], (entry.amount or 0.0) * part
        total.entries += 1
        total.worth += own
        if entry.kind in ("paid", "credited"):
            sign = 1 if entry.kind == "paid" else -1
            total.paid += sign * paid
            total.bought += sign * quantity
            total.lump = total.lump or entry.amount is None
        elif entry.kind == "wasted":
            total.spoiled += quantity
        else:
            total.used += 1.0 if entry.kind == "trip" else quantity


def _add_setback(entry: Entry, targets: list[PricedLine], sums: Mapping[str, Sum], plan: Priced) -> None:
    for line in targets:
        total = sums[line.id]
        total.entries += 1
        if line.measure == "h":
            total.used += entry.hours or 0.0
            total.worth += exact((entry.hours or 0.0) * rate_of(plan, f"pay.{entry.who}"), plan.digits)
        else:
            total.used += 1.0
            total.worth += entry.money or Decimal(0)


def _worth(entry: Entry, line: PricedLine, plan: Priced) -> Decimal:
    """What hours of people and machines, and trips, are worth [money]; nothing for all else."""
    if entry.kind == "trip":
        return exact(trip_cost(entry, plan), plan.digits)
    if entry.kind not in ("hours", "machine"):
        return Decimal(0)
    hour = line.rate if entry.kind == "machine" else rate_of(plan, f"pay.{entry.who}")
    return exact((entry.amount or 0.0) * hour, plan.digits)
