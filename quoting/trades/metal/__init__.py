"""Small metal parts cut from stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.metal.record import MetalDefaults

METALS: Section[MetalDefaults] = Section("metal", "record:MetalDefaults")

TRADE = Trade(
    name="metal",
    home=__name__,
    record="record:Metal",
    alike="counted",
    drivers=("part",),
    problems="equations:problems",
    sections=(METALS,),
    groups=(Group("metal", "Metal"),),
    facts=(Fact("metal_kg", "metal"),),
    made=True,
    stock="equations:cut_from",
    cautions=("metal", "machine"),
    material="field:metal",
    stored=(("Metal", "record:Metal"), ("MetalDefaults", "record:MetalDefaults")),
    always=True,
    without=(
        "rules", "doubts", "shop_rules", "reckoned", "by_measure", "rough", "solid", "shaped",
        "chain", "poured", "pressed", "compared", "resin", "dangers",
    ),
)  # fmt: skip
