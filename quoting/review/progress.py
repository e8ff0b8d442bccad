"""How far a piece is: which lines are behind it, by its state or by what was marked as done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.review.known import hour_lines, task_of
from quoting.values import slug

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.ledger.entries import Entry
    from quoting.ledger.states import Standing
    from quoting.pricing.record import PricedLine

LAST_STAGE = "delivery"
WAITING_GROUP = "channel"


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
