"""Seats as text of a job, and a shop and price file that hold what they need."""

from __future__ import annotations

# No losses: what pieces are cut from is what is bought.
SHOP = """
[upholstery]
waste = "0 %"
foam_waste = "0 %"
"""
PRICES = """
twill,m,30
wool,yd,40
vinyl,m2,25
seat foam,m3,900
foam sheet,sheet,70
jute webbing,m,2
elastic webbing,m,3
wadding,m2,4
calico,m2,2
"""


def seat(**fields: object) -> str:
    """A seat of a job, with the fields given; what is left out is a cover without foam that is cut to the finished size."""
    usual = {"part": "seat", "length": "430 mm", "width": "460 mm", "fabric": "twill"}
    if "foam" not in fields:
        usual["wrap"] = "0 mm"
    rows = (f"{name} = {_written(value)}" for name, value in {**usual, **fields}.items())
    return "\n[[upholstery]]\n" + "\n".join(rows) + "\n"


def _written(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) and value[:1] not in "[{" else str(value)
