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
    alike="each",
    rules="equations:rules",
    groups=(Group("setback", "Bought", "setbacks", kind="allowance"),),
    stored=(("Setback", "record:Setback"),),
    always=True,
    without=(
        "problems", "doubts", "shop_rules", "reckoned", "drivers", "sections", "facts", "made",
        "by_measure", "rough", "solid", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin",
        "cautions", "dangers", "material",
    ),
)  # fmt: skip
