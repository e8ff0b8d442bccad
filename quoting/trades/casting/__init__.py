"""Resin cast into a form, pour by pour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.casting.record import CastingDefaults

CASTINGS: Section[CastingDefaults] = Section("casting", "record:CastingDefaults")

TRADE = Trade(
    name="casting",
    home=__name__,
    record="record:Casting",
    alike="each",
    drivers=("part", "pour", "batch"),
    problems="equations:problems",
    doubts="equations:doubts",
    sections=(CASTINGS,),
    groups=(Group("casting", "Casting"),),
    facts=(Fact("resin_litres", "mixed resin [L]"),),
    made=True,
    chain="lay-up",
    step="pour",
    poured="equations:pour_depth_m",
    resin=True,
    cautions=("resin",),
    material="word:casting",
    stored=(("Casting", "record:Casting"), ("CastingDefaults", "record:CastingDefaults")),
    always=True,
    without=(
        "rules", "shop_rules", "reckoned", "by_measure", "rough", "solid", "shaped", "stock",
        "pressed", "compared", "dangers",
    ),
)  # fmt: skip
