"""Hours of people as a maker writes them."""

from quoting.declaration import Trade

TRADE = Trade(
    name="work",
    home=__name__,
    record="record:Work",
    alike="own",
    rules="equations:rules",
    problems="equations:problems",
    several="equations:several",
    stored=(("Work", "record:Work"),),
    always=True,
    without=(
        "doubts", "shop_rules", "reckoned", "drivers", "sections", "groups", "facts", "made",
        "by_measure", "rough", "solid", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin",
        "cautions", "dangers", "material",
    ),
)  # fmt: skip
