"""What entries say of the lines of a plan: which they fill, with what share of them, and which lie behind the piece.

Lines that the plan lacks are made, with a plan of 0.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.ledger.entries import Entry
from quoting.ledger.states import Standing
from quoting.logbook.names import (
    BY_STAGE,
    TRIP,
    UNPLANNED,
    hour_lines,
    machine_lines,
    matching,
    paid_lines,
    rate_of,
    task_of,
    used_lines,
)  # fmt: skip
from quoting.pricing.record import Priced, PricedLine
from quoting.values import slug

if TYPE_CHECKING:
    Kind = Callable[[Iterable[PricedLine]], list[PricedLine]]

LAST_STAGE = "delivery"
WAITING_GROUP = "channel"


class Lines:
    """The lines of a plan by id, and those that entries add to them."""

    def __init__(self, plan: Priced, former: Sequence[Priced] = ()) -> None:
        self.plan = plan
        self.by_id = {line.id: line for line in plan.lines}
        self._dropped = {
            line.id: line._replace(quantity=0.0, amount=Decimal(0))
            for earlier in former
            for line in earlier.lines
            if line.id not in self.by_id
        }

    def filled_by(self, entry: Entry) -> list[PricedLine]:
        """The lines that an entry fills; none for what is no cost."""
        if entry.kind == "hours":
            return self._worked(entry, hour_lines)
        if entry.kind == "machine":
            return self._worked(entry, machine_lines)
        if entry.kind in ("used", "wasted"):
            return self._named(entry, used_lines) or [self._lacking(entry, "buy", entry.unit)]
        if entry.kind in ("paid", "credited"):
            return self._named(entry, paid_lines) or [self._lacking(entry, "buy", entry.unit or "each")]
        if entry.kind == "setback":
            lost = (("hours", "h", entry.hours), ("cost", "each", entry.money))
            return [self._setback(entry, kind, unit) for kind, unit, value in lost if value is not None]
        if entry.kind == "trip":
            return [self._trip(entry)]
        return []

    def _named(self, entry: Entry, of_kind: Kind) -> list[PricedLine]:
        """The lines that an entry names: of the plan, or of an earlier one. The item of machine hours is the machine."""
        item = "" if entry.kind in ("hours", "machine") else entry.item
        for lines in (self.plan.lines, self._dropped.values()):
            found = matching(of_kind(lines), line=entry.line, task=entry.task, part=entry.part, item=item)
            if found:
                return [self.by_id.setdefault(line.id, line) for line in found]
        return []

    def _worked(self, entry: Entry, of_kind: Kind) -> list[PricedLine]:
        if not (entry.line or entry.task or entry.part):
            name = f"{entry.stage} work"
            return [self._made(f"{BY_STAGE}.{entry.stage}.hours", "labour", name, "h", entry.stage)]
        machine = entry.kind == "machine"
        rate = rate_of(self.plan, f"machine.{entry.item}") if machine else 0.0
        return self._named(entry, of_kind) or [
            self._lacking(entry, "machine" if machine else "labour", "h", rate)
        ]

    def _setback(self, entry: Entry, kind: str, unit: str) -> PricedLine:
        id = f"{entry.line}.{kind}"
        return self.by_id.get(id) or self._made(id, "setback", entry.said, unit)

    def _trip(self, entry: Entry) -> PricedLine:
        if entry.line == TRIP and TRIP in self.by_id:
            return self.by_id[TRIP]
        return self._made(f"{UNPLANNED}.trip", "delivery_carried", "trips", "trip", "delivery")

    def _lacking(self, entry: Entry, trade: str, unit: str, rate: float = 0.0) -> PricedLine:
        """A thing nobody planned, or a line that a change took out of the plan."""
        name = entry.task or entry.item or entry.part or entry.line
        id = entry.line if entry.line.startswith(UNPLANNED) else f"{UNPLANNED}.{entry.line or name}"
        return self._made(id, trade, name, unit, entry.stage or "bench", rate)

    def _made(
        self, id: str, trade: str, name: str, unit: str, stage: str = "bench", rate: float = 0.0
    ) -> PricedLine:
        if id not in self.by_id:
            self.by_id[id] = PricedLine(
                id=id, trade=trade, part=name, item=name, stage=stage, quantity=0.0, unit=unit, rate=rate,
                amount=Decimal(0), supplied="bought", measure=unit, basis="not in the plan", source="the ledger",
            )  # fmt: skip
        return self.by_id[id]


def shares(lines: list[PricedLine]) -> list[float]:
    """Shares of an entry that serves several lines: by planned quantity, alike where nothing was planned."""
    whole = sum(line.quantity for line in lines)
    return [line.quantity / whole if whole else 1 / len(lines) for line in lines]


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
