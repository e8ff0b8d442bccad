"""Oil, varnish, wax: anything bought by volume and spread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.finish.record import FinishDefaults

FINISHES: Section[FinishDefaults] = Section("finish", "record:FinishDefaults")

TRADE = Trade(
    name="finish",
    home=__name__,
    record="record:Finish",
    alike="own",
    drivers=("m2 coat", "coat", "m2", "part"),
    problems="equations:problems",
    sections=(FINISHES,),
    groups=(Group("finish", "Finish"),),
    facts=(Fact("finish_litres", "finish [L]"),),
    several="equations:several",
    made=True,
    by_measure=True,
    chain="finish",
    step="finish coat",
    rest="equations:rest_h",
    cautions=("oily_rags",),
    material="field:product",
    stored=(("Finish", "record:Finish"), ("FinishDefaults", "record:FinishDefaults")),
    always=True,
    without=(
        "rules", "doubts", "shop_rules", "reckoned", "rough", "solid", "shaped", "stock", "poured",
        "pressed", "compared", "resin", "dangers",
    ),
)  # fmt: skip
