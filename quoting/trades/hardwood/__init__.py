"""Solid timber: from finished sizes to boards bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.hardwood.record import OwnSpecies, Timber

TIMBER: Section[Timber] = Section("timber", "record:Timber")
SPECIES: Section[dict[str, OwnSpecies]] = Section(
    "species", "record:OwnSpecies", family=True, needed=False, usual="timber"
)

TRADE = Trade(
    name="hardwood",
    home=__name__,
    record="record:Hardwood",
    alike="counted",
    drivers=("part", "bd ft", "m3", "panel", "joint", "m2"),
    problems="equations:problems",
    doubts="equations:doubts",
    shop_rules="equations:shop_rules",
    sections=(TIMBER, SPECIES),
    groups=(Group("hardwood", "Hardwood"),),
    facts=(Fact("hardwood_bd_ft", "hardwood [bd ft]"),),
    made=True,
    rough="boards:rough",
    solid=True,
    shaped=True,
    stock="boards:cut_from",
    cautions=("dust", "machine"),
    material="field:species",
    stored=(
        ("Hardwood", "record:Hardwood"),
        ("Timber", "record:Timber"),
        ("OwnSpecies", "record:OwnSpecies"),
    ),
    always=True,
    without=("rules", "reckoned", "by_measure", "chain", "poured", "pressed", "compared", "resin", "dangers"),
)
