"""Custom glass: a firm price, or a glazier's tariff."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Parts, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.glass.record import Glass, Tariff

GLASS: Parts[Glass] = Parts("glass")
TARIFFS: Section[dict[str, Tariff]] = Section(
    "glass", "record:Tariff", family=True, needed=False, priced=True
)

TRADE = Trade(
    name="glass",
    home=__name__,
    record="record:Glass",
    alike="counted",
    drivers=("part", "m2"),
    problems="equations:problems",
    doubts="equations:doubts",
    sections=(TARIFFS,),
    groups=(Group("glass", "Glass"),),
    facts=(Fact("glass_m2", "glass"), Fact("glass_cost", "glass")),
    made=True,
    solid=True,
    cautions=("glass",),
    material="label:treatment",
    compared="equations:answers",
    stored=(("Glass", "record:Glass"), ("Tariff", "record:Tariff")),
    always=True,
    without=(
        "rules", "shop_rules", "reckoned", "by_measure", "rough", "shaped", "stock", "chain",
        "poured", "pressed", "resin", "dangers",
    ),
)  # fmt: skip
