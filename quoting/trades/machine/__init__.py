"""Hours of machines, and of the people who stand by."""

from quoting.declaration import Trade

TRADE = Trade(
    name="machine",
    home=__name__,
    record="record:Machine",
    alike="own",
    drivers=("part", "new part"),
    problems="equations:problems",
    several="equations:several",
    cautions=("machine",),
    stored=(("Machine", "record:Machine"),),
    always=True,
    without=(
        "rules", "doubts", "shop_rules", "reckoned", "sections", "groups", "facts", "made",
        "by_measure", "rough", "solid", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin",
        "dangers", "material",
    ),
)  # fmt: skip
