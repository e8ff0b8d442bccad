"""The whole log of a build that was handed over, as a maker keeps it: rounds, then all that is done and used once."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from logbook.logs import entries, piece
from simulation.builds import FROM_THE_YARD
from simulation.log import Logbook

from quoting.forecast.build import build_of
from quoting.ledger.states import Standing

if TYPE_CHECKING:
    from simulation.builds import Played

    from quoting.forecast.build import Build
    from quoting.job.brief import Brief
    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced

ONCE = {
    "sanding": "hardwood.rim.sanding", "flatten": "laminate.slab.flatten-1", "assembly": "standard.assembly.hours",
}  # fmt: skip
CLOTH, RESIN = "jute cloth 280", "clear epoxy"


class Books:
    """Logs of finished builds of one plan; each kind of entry is read once by the intake."""

    def __init__(self, plan: Priced, brief: Brief) -> None:
        self.plan, self.brief = plan, brief
        self._rounds = Logbook(plan)
        self._cloth, self._paid_cloth, self._paid_resin, self._late, *hours = entries(
            plan,
            {"kind": "used", "value": "1", "of": CLOTH},
            {"kind": "paid", "value": "1", "of": CLOTH, "quantity": "1"},
            {"kind": "paid", "value": "1", "of": RESIN, "quantity": "1 L"},
            {"kind": "setback", "value": "leak", "hours": "1 h", "cost": "1"},
            *({"kind": "hours", "value": "1 h", "line": line} for line in ONCE.values()),
        )
        self._once = dict(zip(ONCE, hours, strict=True))

    def log(self, build: Played, price: dict[str, float] | None = None) -> list[Entry]:
        """Every entry of a build; `price` is what a unit of cloth and of resin was paid, where it was logged."""
        found = self._rounds.until(build, len(build.rounds))
        if build.setback.hours and build.setback.after is None:  # after the last round
            cost = Decimal(f"{build.setback.cost:.2f}")
            found.append(replace(self._late, hours=build.setback.hours, money=cost))
        found += [replace(entry, amount=build.hours[task]) for task, entry in self._once.items()]
        found.append(replace(self._cloth, amount=build.material[CLOTH]))
        for item, entry in ((CLOTH, self._paid_cloth), (RESIN, self._paid_resin)):
            if price is not None:
                money = Decimal(f"{price[item] * build.material[item]:.2f}")
                found.append(replace(entry, amount=build.material[item], money=money))
        return [replace(entry, id=number) for number, entry in enumerate(found, start=1)]

    def finished(self, build: Played, price: dict[str, float] | None = None) -> Build:
        """The build as the tool looks back on it."""
        state = Standing(deal="agreed", since=self.plan.day, built=True, delivered=True)
        return build_of(piece(self.plan, self.log(build, price), state), self.brief)


__all__ = ["CLOTH", "FROM_THE_YARD", "RESIN", "Books"]
