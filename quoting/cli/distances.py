"""Distances by road and radii, in miles or kilometres, whatever small lengths a shop writes in."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from quoting.measures import measure

if TYPE_CHECKING:
    from quoting.job.shop import Shop

UNITS = {"inch": "mi", "metric": "km"}


def unit_of(shop: Shop) -> tuple[str, float]:
    """The unit of a shop's roads and its length [m]."""
    name = UNITS[shop.shop.units]
    return name, measure(f"1 {name}", "distance")


def far(shop: Shop, distance_m: float) -> str:
    """A distance to a tenth of a mile or kilometre."""
    name, metres = unit_of(shop)
    return f"{distance_m / metres:.1f} {name}"


def radius_said(shop: Shop, radius_m: float | None) -> str:
    """A radius: None is nowhere, infinite is anywhere."""
    if radius_m is None:
        return "nowhere"
    return "anywhere" if math.isinf(radius_m) else far(shop, radius_m)
