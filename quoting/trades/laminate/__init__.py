"""Panels of plies wetted out with resin and pressed in vacuum-bagging rounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Parts, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.laminate.record import Bagging, Laminate, LaminateDefaults, OwnPly

LAMINATE: Parts[Laminate] = Parts("laminate")
LAMINATES: Section[LaminateDefaults] = Section("laminate", "record:LaminateDefaults")
BAGGING: Section[Bagging] = Section("bagging", "record:Bagging", priced=True)
PLY: Section[dict[str, OwnPly]] = Section("ply", "record:OwnPly", family=True, needed=False)

TRADE = Trade(
    name="laminate",
    home=__name__,
    record="record:Laminate",
    alike="each",
    drivers=("part", "cycle", "ply m2"),
    problems="checks:problems",
    doubts="checks:doubts",
    shop_rules="checks:shop_rules",
    sections=(LAMINATES, BAGGING, PLY),
    reckoned=("laying_sheets", "laying_roll", "mixing"),
    groups=(Group("laminate", "Laminate"), Group("bagging", "Laminate", "bagging consumables")),
    facts=(
        Fact("laminate_plies", "plies"),
        Fact("laminate_sheets", "sheets of ply"),
        Fact("bag_cycles", "bagging rounds"),
        Fact("resin_litres", "mixed resin [L]"),
        Fact("bag_film_m2", "bag film"),
        Fact("peel_ply_m2", "peel ply"),
        Fact("breather_m2", "breather"),
        Fact("sealant_tape_m", "sealant tape"),
    ),
    made=True,
    rough="plies:rough",
    solid=True,
    chain="lay-up",
    step="round",
    pressed="bagging:card",
    resin=True,
    cautions=("resin", "vacuum", "dust"),
    dangers="checks:dangers",
    material="word:laminate",
    compared="compared:answers",
    stored=(
        ("Laminate", "record:Laminate"),
        ("Flatten", "record:Flatten"),
        ("TrialStrip", "record:TrialStrip"),
        ("LaminateDefaults", "record:LaminateDefaults"),
        ("Bagging", "record:Bagging"),
        ("OwnPly", "record:OwnPly"),
        ("LaminateCard", "bagging:LaminateCard"),
        ("RoundCard", "bagging:RoundCard"),
    ),
    always=True,
    without=("rules", "by_measure", "shaped", "stock", "poured"),
)
