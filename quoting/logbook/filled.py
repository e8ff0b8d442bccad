"""Lines of the plan filled by what happened: pure, so that taking an entry back restores every figure.

Hours are worth the pay of who worked, material what was paid for it. Overhead and sundries follow.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from quoting.ledger.entries import Entry
from quoting.ledger.states import Standing
from quoting.logbook.plan_lines import Lines, Progress, of_stage, rate_of, shares
from quoting.money import exact, shared_out, trusted
from quoting.pricing.record import Priced, PricedLine
from quoting.values import Num, key


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
    found = {line.id: _filled(line, sums[line.id], costs[line.id]) for line in there}
    hours = labour_hours(found.values())
    materials = float(sum((one.amount for one in found.values() if one.line.material), Decimal(0)))
    for line, quantity in list(following(found.values(), hours, materials)):
        used, amount = float(quantity), exact(float(quantity) * line.rate, plan.digits)
        found[line.id] = found[line.id]._replace(quantity=used, amount=amount, logged=bool(quantity))
    return tuple(found.values())


def labour_hours(lines: Iterable[Filled]) -> float:
    """Hours of people, setbacks included [h]."""
    return sum(one.quantity for one in lines if one.line.of_people)


def stage_hours(lines: Iterable[Filled]) -> dict[str, float]:
    """Hours of which only the stage is known, by the stage [h]."""
    return {one.line.stage: one.quantity for one in lines if of_stage(one.line)}


def follows(line: PricedLine) -> str:
    """What a line follows from: "hours" for overhead and sundries an hour, "materials" for a share of them; else ""."""
    if line.trade == "overhead" or (line.trade == "sundries" and line.id.endswith(".hours")):
        return "hours"
    return "materials" if line.trade == "sundries" else ""


def following(lines: Iterable[Filled], hours: Num, materials: Num) -> Iterator[tuple[PricedLine, Num]]:
    """Lines that follow from others, each with its quantity: hours, or the cost of materials [money]."""
    for one in lines:
        if rule := follows(one.line):
            yield one.line, hours if rule == "hours" else materials


def _filled(line: PricedLine, one: Sum, cost: Decimal) -> Filled:
    used, logged = one.used + one.spoiled, one.entries > 0
    return Filled(line, used, cost, one.spoiled, one.bought, one.paid, logged, one.entries, one.lump)


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
        elif entry.kind == "spoiled":
            total.spoiled += quantity
        else:
            total.used += 1.0 if entry.kind == "trip" else quantity


def _add_setback(entry: Entry, targets: list[PricedLine], sums: Mapping[str, Sum], plan: Priced) -> None:
    for line in targets:
        total = sums[line.id]
        total.entries += 1
        if line.measure == "h":
            total.used += entry.hours_worked
            total.worth += exact(entry.hours_worked * rate_of(plan, f"pay.{entry.who}"), plan.digits)
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


def trip_cost(entry: Entry, plan: Priced) -> float:
    """What a trip cost [money]: distance driven, there and back, x the vehicle + hours of all who went x pay, and
    overhead on them where the shop says so.
    """
    delivery = plan.shop.delivery
    hour = rate_of(plan, f"pay.{entry.who}")
    hour += rate_of(plan, "overhead") if delivery.overhead_on_trip else 0.0
    return (entry.amount or 0.0) * delivery.per_distance + entry.hours_worked * hour


def material_costs(
    lines: Iterable[PricedLine], sums: Mapping[str, Sum], progress: Progress, digits: int
) -> dict[str, Decimal]:
    """Cost so far of every line of material [money], by its id."""
    items: dict[str, list[PricedLine]] = defaultdict(list)
    for line in lines:
        if line.material:
            items[key(line.item)].append(line)
    costs = {}
    for same in items.values():
        rate = _rate_paid([sums[line.id] for line in same])
        for line in same:
            total = sums[line.id]
            used = total.used + total.spoiled
            quantity = charged(line, used, total.spoiled, total.bought, progress.behind(line))
            plain = 0.0 if line.supplied == "client" else line.rate
            costs[line.id] = (
                total.paid if total.lump else exact(quantity * (plain if rate is None else rate), digits)
            )
    return costs


def charged(line: PricedLine, used: float, spoiled: float, bought: float, behind: bool) -> float:
    """The quantity that a piece bears, in units of the line. What was `spoiled` is part of what was `used`."""
    if behind:
        return used or max(bought, 0.0)
    return max(used, min(bought, line.quantity + spoiled))


def rates_paid(lines: Iterable[Filled]) -> dict[str, float]:
    """What a unit of an item cost [money], by the item, where money and count are both known."""
    money: dict[str, Decimal] = defaultdict(Decimal)
    bought: dict[str, float] = defaultdict(float)
    for one in lines:
        if one.line.material and one.bought > 0 and not one.lump:
            money[key(one.line.item)] += one.paid
            bought[key(one.line.item)] += one.bought
    return {item: float(money[item]) / count for item, count in bought.items()}


def _rate_paid(sums: list[Sum]) -> float | None:
    """What a unit of an item cost; None where money and count are not both known."""
    counted = [one for one in sums if not one.lump]
    bought = sum(one.bought for one in counted)
    return float(sum((one.paid for one in counted), Decimal(0))) / bought if bought > 0 else None
