"""Outside work: a subcontractor's price."""

from quoting.declaration import Group, Trade

TRADE = Trade(
    name="outwork",
    home=__name__,
    record="record:Outwork",
    alike="each",
    groups=(Group("outwork", "Bought", "outside work", kind="outside"),),
    made=True,
    by_measure=True,
    stored=(("Outwork", "record:Outwork"),),
    always=True,
    without=(
        "rules", "problems", "doubts", "shop_rules", "reckoned", "drivers", "sections", "facts",
        "rough", "solid", "shaped", "stock", "chain", "poured", "pressed", "compared", "resin", "cautions",
        "dangers", "material",
    ),
)  # fmt: skip
