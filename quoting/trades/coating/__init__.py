"""Flood coats of resin on a surface."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.coating.record import CoatingDefaults

COATINGS: Section[CoatingDefaults] = Section("coating", "record:CoatingDefaults")

TRADE = Trade(
    name="coating",
    home=__name__,
    record="record:Coating",
    alike="each",
    drivers=("m2 coat", "coat", "m2", "batch", "part"),
    problems="equations:problems",
    doubts="equations:doubts",
    sections=(COATINGS,),
    groups=(Group("coating", "Coating"),),
    facts=(Fact("resin_litres", "mixed resin [L]"),),
    made=True,
    chain="coating",
    step="coat",
    poured="equations:coat_depth_m",
    resin=True,
    cautions=("resin",),
    material="word:coating",
    stored=(("Coating", "record:Coating"), ("CoatingDefaults", "record:CoatingDefaults")),
    always=True,
    without=(
        "rules", "shop_rules", "reckoned", "by_measure", "rough", "solid", "shaped", "stock",
        "pressed", "compared", "dangers",
    ),
)  # fmt: skip
