"""Hours of people as a maker writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Parts, Trade

if TYPE_CHECKING:
    from quoting.trades.work.record import Work

WORK: Parts[Work] = Parts("work")

TRADE = Trade(
    name="work",
    home=__name__,
    record="record:Work",
    rules="equations:rules",
    problems="equations:problems",
    alike="own",
    several="equations:several",
    stored=(("Work", "record:Work"),),
    always=True,
)
