"""Seats and pads: foam under a cover, on webbing or a board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.upholstery.record import UpholsteryDefaults

COVERING: Section[UpholsteryDefaults] = Section("upholstery", "record:UpholsteryDefaults")

TRADE = Trade(
    name="upholstery",
    home=__name__,
    record="record:Upholstery",
    drivers=("seat",),
    problems="checks:problems",
    doubts="checks:doubts",
    shop_rules="checks:shop_rules",
    sections=(COVERING,),
    groups=(Group("upholstery", "Upholstery"),),
    facts=(Fact("fabric_m", "fabric"), Fact("foam_kg", "foam"), Fact("webbing_m", "webbing")),
    alike="counted",
    made=True,
    rough="rolls:cover_cut",
    solid=True,
    cautions=("upholstery",),
    material="field:fabric",
    stored=(
        ("Upholstery", "record:Upholstery"),
        ("CoverPiece", "record:CoverPiece"),
        ("UpholsteryDefaults", "record:UpholsteryDefaults"),
    ),
    without=(
        "rules", "reckoned", "by_measure", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin", "dangers",
    ),
)  # fmt: skip
