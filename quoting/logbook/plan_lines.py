"""Lines of a plan: which of them entries fill, with what share of them, which lie behind the piece, and lines that the plan lacks."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from quoting.ledger.entries import Entry
from quoting.ledger.states import Standing
from quoting.pricing.record import Priced, PricedLine
from quoting.values import key, slug

TRIP = "delivery.trip.carried"
"""The line that trips fill."""

UNPLANNED = "unplanned"
"""First part of the ids of lines that the plan lacks: their plan is 0."""

BY_STAGE = "stage"
"""First part of the ids of lines for hours of which only the stage is known."""

LAST_STAGE = "delivery"
WAITING_GROUP = "channel"


def hour_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that hours of people fill."""
    return [line for line in lines if line.of_people]


def machine_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that hours of machines fill."""
    return [line for line in lines if line.trade == "machine"]


def used_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines of material, which something used fills."""
    return [line for line in lines if line.material]


def paid_lines(lines: Iterable[PricedLine]) -> list[PricedLine]:
    """Lines that something paid fills: material, outside work, carriage."""
    return [line for line in lines if line.material or line.by_others or line.trade == "carriage"]


def task_of(line: PricedLine) -> str:
    """What is done on a line of hours, as part of a name: the operation, or the work itself."""
    rest, _, last = line.id.rpartition(".")
    return slug(rest.partition(".")[2] if last == "hours" else last)


def matching(
    lines: Iterable[PricedLine], *, line: str = "", task: str = "", part: str = "", item: str = ""
) -> list[PricedLine]:
    """Lines that fit every name given; an id alone decides."""
    if line:
        return [one for one in lines if one.id == line]
    return [
        one
        for one in lines
        if (not task or task_of(one) == slug(task))
        and (not part or slug(one.part) == slug(part))
        and (not item or key(item) in (key(one.item), key(one.part)))
    ]


def of_stage(line: PricedLine) -> bool:
    """True for hours of which only the stage is known."""
    return line.id.startswith(f"{BY_STAGE}.")


def rate_of(plan: Priced, name: str) -> float:
    """An hour's rate of the plan [money/h], such as "pay.owner" or "machine.router"; 0 for a name it lacks."""
    return next((rate.per_hour for rate in plan.rates if rate.name == name), 0.0)


FILLED = {
    "hours": hour_lines, "machine": machine_lines, "used": used_lines, "spoiled": used_lines, "paid": paid_lines, "credited": paid_lines,
}  # fmt: skip
"""The lines that a kind of entry can fill."""


def _is_named(entry: Entry) -> bool:
    """True for an entry that names lines, and not a stage alone."""
    return bool(entry.line or entry.task or entry.part)


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
        if entry.kind == "setback":
            lost = (("hours", "h", entry.hours), ("cost", "each", entry.money))
            given = [(f"{entry.line}.{kind}", unit) for kind, unit, value in lost if value is not None]
            return [self._made(id, "setback", entry.said, unit) for id, unit in given]
        if entry.kind == "trip":
            id = TRIP if entry.line == TRIP and TRIP in self.by_id else f"{UNPLANNED}.trip"
            return [self._made(id, "delivery_carried", "trips", "trip", "delivery")]
        if entry.kind not in FILLED:
            return []
        if entry.kind in ("hours", "machine") and not _is_named(entry):
            id = f"{BY_STAGE}.{entry.stage}.hours"
            return [self._made(id, "labour", f"{entry.stage} work", "h", entry.stage)]
        return self._named(entry) or [self._lacking(entry)]

    def _named(self, entry: Entry) -> list[PricedLine]:
        """The lines that an entry names: of the plan, or of an earlier one. The item of machine hours is the machine."""
        item = "" if entry.kind in ("hours", "machine") else entry.item
        for lines in (self.plan.lines, self._dropped.values()):
            there = FILLED[entry.kind](lines)
            if found := matching(there, line=entry.line, task=entry.task, part=entry.part, item=item):
                return [self.by_id.setdefault(line.id, line) for line in found]
        return []

    def _lacking(self, entry: Entry) -> PricedLine:
        """A thing nobody planned, or a line that a change took out of the plan."""
        name = entry.task or entry.item or entry.part or entry.line
        id = entry.line if entry.line.startswith(UNPLANNED) else f"{UNPLANNED}.{entry.line or name}"
        work = {"hours": ("labour", "h"), "machine": ("machine", "h")}
        one = "each" if entry.kind in ("paid", "credited") else ""
        trade, unit = work.get(entry.kind, ("buy", entry.unit or one))
        rate = rate_of(self.plan, f"machine.{entry.item}") if entry.kind == "machine" else 0.0
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
        self._stages = {entry.stage for entry in done if not _is_named(entry)}
        self._named = [entry for entry in done if _is_named(entry)]
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
    by_task = not entry.task or (line.of_people and task_of(line) == slug(entry.task))
    return by_task and (not entry.part or slug(line.part) == slug(entry.part))
