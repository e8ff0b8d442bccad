"""Exact factors between units, from pint: the one file that imports it, and only on first use."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any

    from pint import UnitRegistry

# The whole of pint's vocabulary here. Sizes are exact by definition, except inHg (3386.389 Pa,
# NIST SP 811) and the lengths of a month and a year, which are this tool's convention.
_DEFINITIONS = """
m = [length]; g = [mass]; s = [time]; each = [count]; money = [money]; one = []; percent = 0.01 one
mm = 0.001 m; cm = 0.01 m; km = 1000 m; in = 0.0254 m; ft = 12 in; yd = 3 ft; mi = 5280 ft
L = 0.001 m**3; mL = 0.001 L; bd_ft = 144 in**3
gal = 231 in**3; qt = 0.25 gal; pt = 0.5 qt; fl_oz = 0.0625 pt
kg = 1000 g; lb = 453.59237 g; oz = 0.0625 lb
min = 60 s; h = 60 min; day = 24 h; week = 7 day; month = 30 day; year = 365 day
Pa = kg/m/s**2; hPa = 100 Pa; mbar = 100 Pa; kPa = 1000 Pa; bar = 100000 Pa; inHg = 3386.389 Pa
lbf = 9.80665 lb*m/s**2; psi = lbf/in**2
W = kg*m**2/s**3; kW = 1000 W; kWh = kW*h; hp = 550 ft*lbf/s
sheet = each; piece = each; pair = each; set = each; pack = each; tube = each; roll = each; panel = each
"""


@cache
def _registry() -> UnitRegistry[Any]:
    """An empty pint registry with our units alone, in exact fractions. Built on first use."""
    from pint import UnitRegistry

    registry: UnitRegistry[Any] = UnitRegistry(None, non_int_type=Fraction)
    for definition in _DEFINITIONS.replace("\n", ";").split(";"):
        if definition.strip():
            registry.define(definition.strip())
    return registry


@cache
def factor(name: str, canonical: str) -> Fraction:
    """How many of `canonical` are in one `name`, both from our tables; pint checks that they fit."""
    quantity = _registry().Quantity(Fraction(1), _expression(name))
    return Fraction(quantity.to(_expression(canonical)).magnitude)


def _expression(name: str) -> str:
    """Our name of a unit in pint's syntax: "oz/yd2" -> "oz/yd**2", "/mi" -> "money/mi"."""
    if name in ("", "1"):
        return "one"
    powers = re.sub(r"(?<=[a-z])(?=\d)", "**", name.replace(" ", "_").replace("%", "percent"))
    return f"money{powers}" if powers.startswith("/") else powers
