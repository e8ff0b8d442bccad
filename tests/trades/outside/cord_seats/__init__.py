"""Seats woven of cord: a trade of a package beside the house, for its tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Parts, Section, Trade

if TYPE_CHECKING:
    from cord_seats.record import Cord, CordDefaults

CORD: Parts[Cord] = Parts("cord")
CORDS: Section[CordDefaults] = Section("cord", "record:CordDefaults")

TRADE = Trade(
    name="cord",
    home=__name__,
    record="record:Cord",
    drivers=("part", "woven m2"),
    problems="equations:problems",
    doubts="equations:doubts",
    sections=(CORDS,),
    groups=(Group("cord", "Cord", "woven cord"),),
    facts=(Fact("cord_m", "cord"),),
    alike="counted",
    made=True,
    solid=True,
    material="field:cord",
    stored=(("Cord", "record:Cord"), ("CordDefaults", "record:CordDefaults")),
    without=(
        "rules", "shop_rules", "reckoned", "by_measure", "rough", "shaped", "stock", "chain", "poured", "pressed", "compared",
        "resin", "cautions", "dangers",
    ),
)  # fmt: skip
