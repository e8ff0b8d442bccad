"""Things bought as they are."""

from quoting.declaration import Group, Trade

TRADE = Trade(
    name="buy",
    home=__name__,
    record="record:Buy",
    alike="each",
    problems="equations:problems",
    groups=(Group("buy", "Bought", "bought things"),),
    made=True,
    by_measure=True,
    stored=(("Buy", "record:Buy"),),
    always=True,
    without=(
        "rules", "doubts", "shop_rules", "reckoned", "drivers", "sections", "facts", "rough",
        "solid", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin", "cautions", "dangers",
        "material",
    ),
)  # fmt: skip
