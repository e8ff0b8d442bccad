"""Setbacks: what may go wrong, by its chance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Group, Parts, Trade

if TYPE_CHECKING:
    from quoting.trades.setback.record import Setback

SETBACK: Parts[Setback] = Parts("setback")

TRADE = Trade(
    name="setback",
    home=__name__,
    record="record:Setback",
    rules="equations:rules",
    groups=(Group("setback", "Bought", "setbacks", kind="allowance"),),
    stored=(("Setback", "record:Setback"),),
    always=True,
)
