"""How far a piece is, and what its hours, trips and material have cost so far."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.logbook.names import hour_lines, task_of
from quoting.money import exact
from quoting.values import key, slug

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from quoting.ledger.entries import Entry
    from quoting.ledger.states import Standing
    from quoting.logbook.filled import Filled, Sum
    from quoting.logbook.piece import Piece
    from quoting.pricing.record import Priced, PricedLine


LAST_STAGE = "delivery"
WAITING_GROUP = "channel"


def rate_of(plan: Priced, name: str) -> float:
    """An hour's rate of the plan [money/h], such as "pay.owner" or "machine.router"; 0 for a name it lacks."""
    return next((rate.per_hour for rate in plan.rates if rate.name == name), 0.0)


def trip_overhead(piece: Piece) -> float:
    """Overhead on the hours of trips that were logged [money], where the shop puts any on them."""
    if not piece.plan.shop.delivery.overhead_on_trip:
        return 0.0
    hours = sum(entry.hours or 0.0 for entry in piece.holding if entry.kind == "trip")
    return hours * rate_of(piece.plan, "overhead")


def trip_cost(entry: Entry, plan: Priced) -> float:
    """What a trip cost [money]: distance driven, there and back, x the vehicle + hours of all who went x pay, and
    overhead on them where the shop says so.
    """
    standing = plan.shop.delivery
    hour = rate_of(plan, f"pay.{entry.who}")
    hour += rate_of(plan, "overhead") if standing.overhead_on_trip else 0.0
    return (entry.amount or 0.0) * standing.per_distance + (entry.hours or 0.0) * hour


class Progress:
    """What lies behind a piece."""

    def __init__(self, entries: Sequence[Entry], standing: Standing) -> None:
        done = [entry for entry in entries if entry.kind == "done"]
        self._stages = {entry.stage for entry in done if not (entry.line or entry.task or entry.part)}
        self._named = [entry for entry in done if entry.line or entry.task or entry.part]
        self._standing = standing

    def behind(self, line: PricedLine) -> bool:
        """True for a line on which nothing more will come."""
        return self.passed(line) or self.closed(line)

    def passed(self, line: PricedLine) -> bool:
        """True where the piece is past a line: its stage is done, or it is built, or handed over."""
        if self._standing.delivered or line.stage in self._stages:
            return True
        last = line.stage == LAST_STAGE or line.trade in ("delivery_carried", WAITING_GROUP)
        return self._standing.built and not last

    def closed(self, line: PricedLine) -> bool:
        """True for a line that was itself marked as done: what is logged on it is all there is."""
        return any(_names(entry, line) for entry in self._named)


def _names(entry: Entry, line: PricedLine) -> bool:
    if entry.line:
        return line.id == entry.line
    by_task = not entry.task or (bool(hour_lines([line])) and task_of(line) == slug(entry.task))
    return by_task and (not entry.part or slug(line.part) == slug(entry.part))


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
