"""Parts cut from sheet goods."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.declaration import Fact, Group, Section, Trade

if TYPE_CHECKING:
    from quoting.trades.sheet.record import SheetDefaults

SHEETS: Section[SheetDefaults] = Section("sheet", "record:SheetDefaults")

TRADE = Trade(
    name="sheet",
    home=__name__,
    record="record:Sheet",
    alike="counted",
    drivers=("part", "m2"),
    problems="equations:problems",
    doubts="equations:doubts",
    sections=(SHEETS,),
    groups=(Group("sheet", "Sheets", "sheet goods"),),
    facts=(Fact("sheets", "sheets"),),
    made=True,
    solid=True,
    shaped=True,
    stock="equations:cut_from",
    cautions=("dust", "machine"),
    material="field:item",
    stored=(("Sheet", "record:Sheet"), ("SheetDefaults", "record:SheetDefaults")),
    always=True,
    without=(
        "rules", "shop_rules", "reckoned", "by_measure", "rough", "chain", "poured", "pressed", "compared",
        "resin", "dangers",
    ),
)  # fmt: skip
