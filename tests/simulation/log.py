"""The log of a played build, as the intake makes its entries: each kind is read once, then given its amounts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from logbook.logs import entries
from simulation.builds import FROM_THE_YARD
from simulation.truths import ROUND_TASKS

if TYPE_CHECKING:
    from simulation.builds import Played
    from simulation.rounds import Pressing

    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced

EDGING = {"milling": "hardwood.rim.milling", "milling-setup": "standard.milling-setup.hours"}
TIMBER = "hardwood.rim.timber"
TASKS = ("laying", "mixing", *ROUND_TASKS)


class Logbook:
    """Entries of a plan, read once and filled with the amounts of each build."""

    def __init__(self, plan: Priced) -> None:
        hour = {"kind": "hours", "value": "1 h"}
        (self._resin, self._thickness, self._setback, self._timber, *rest) = entries(
            plan,
            {"kind": "used", "value": "1 L clear epoxy", "round": "1"},
            {"kind": "measured", "value": "1 mm", "part": "slab", "round": "1", "plies": "1"},
            {"kind": "setback", "value": "leak", "hours": "1 h", "cost": "1"},
            {"kind": "used", "value": "1 m3", "line": TIMBER},
            *({**hour, "task": task, "part": "slab", "round": "1"} for task in TASKS),
            *({**hour, "line": line} for line in EDGING.values()),
            *({"kind": "done", "line": line} for line in (*EDGING.values(), TIMBER)),
            *({"kind": "done", "task": task, "part": "slab"} for task in TASKS),
        )
        self._round = dict(zip(TASKS, rest, strict=False))
        self._edging = dict(zip(EDGING, rest[len(TASKS) :], strict=False))
        after = len(TASKS) + len(EDGING)
        self._edged = rest[after : after + len(EDGING) + 1]
        self._pressed = rest[after + len(EDGING) + 1 :]

    def until(self, build: Played, number: int) -> list[Entry]:
        """Everything logged until the end of a round. The rim is milled while the first round cures; after the last the work of
        rounds is marked as done.
        """
        found: list[Entry] = []
        for at, each in enumerate(build.rounds[:number], start=1):
            found += self._of_round(at, each)
            if at == 1:
                found += [replace(one, amount=build.hours[task]) for task, one in self._edging.items()]
                found += [replace(self._timber, amount=build.material[FROM_THE_YARD]), *self._edged]
            if at == build.setback.after:
                cost = Decimal(f"{build.setback.cost:.2f}")
                found.append(replace(self._setback, hours=build.setback.hours, money=cost))
        if number == len(build.rounds):
            found += self._pressed
        return [replace(one, id=number) for number, one in enumerate(found, start=1)]

    def _of_round(self, number: int, each: Pressing) -> list[Entry]:
        found = [replace(one, amount=each.hours[task], round=number) for task, one in self._round.items()]
        found.append(replace(self._resin, amount=each.resin, round=number))
        found.append(replace(self._thickness, amount=each.measured * 1000, round=number, plies=each.laid))
        return found
