"""Which lines an entry fills, and with what share of it; lines that the plan lacks are made, with a plan of 0."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.logbook.names import TRIP, hour_lines, machine_lines, matching, paid_lines, used_lines
from quoting.logbook.so_far import rate_of
from quoting.logbook.targets import UNPLANNED
from quoting.pricing.record import PricedLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced

    Kind = Callable[[Iterable[PricedLine]], list[PricedLine]]

BY_STAGE = "stage"
"""First part of the ids of lines for hours of which only the stage is known."""


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
            told = (("hours", "h", entry.hours), ("cost", "each", entry.money))
            return [self._setback(entry, kind, unit) for kind, unit, value in told if value is not None]
        if entry.kind == "trip":
            return [self._trip(entry)]
        return []

    def _named(self, entry: Entry, of_kind: Kind) -> list[PricedLine]:
        """The lines that an entry names: of the plan, or of an earlier one."""
        for lines in (self.plan.lines, self._dropped.values()):
            found = matching(
                of_kind(lines), line=entry.line, task=entry.task, part=entry.part, item=_item(entry)
            )
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


def _item(entry: Entry) -> str:
    """The item that an entry asks for; that of machine hours is the machine, which names no line."""
    return "" if entry.kind in ("hours", "machine") else entry.item


def shares(lines: list[PricedLine]) -> list[float]:
    """Shares of an entry that serves several lines: by planned quantity, alike where nothing was planned."""
    whole = sum(line.quantity for line in lines)
    return [line.quantity / whole if whole else 1 / len(lines) for line in lines]
