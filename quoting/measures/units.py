"""Dimensions of measures: the units each takes, every way makers spell them, and exact factors between them.

The one file that imports pint, and only on first use: nothing but our own names of units reaches it.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.errors import Reading
from quoting.measures.spelling import Words

if TYPE_CHECKING:
    from pint import UnitRegistry


class Dimension(NamedTuple):
    """A kind of measure: its canonical unit, the words of an error message, the units it takes."""

    name: str
    canonical: str
    words: str
    example: str
    units: tuple[str, ...]
    bare: bool = False

    @property
    def wanted(self) -> str:
        """The advice of an error message."""
        return f"write {self.words} such as {self.example}"


class Unit(NamedTuple):
    """A unit of a price file: `factor` is its size in the canonical unit of `dimension`."""

    name: str
    dimension: str
    factor: float


_NEAR = 0.75  # likeness (difflib) from which a spelling is worth offering
_VOLUME = "m3 | bd ft | L | mL | cm3 | gal | qt | pt | fl oz | in3 | ft3"
_TIME = "s | min | h | day | week | month | year"
_COUNT = "each | sheet | piece | pair | set | pack | tube | roll | panel"

# name, canonical unit, words, example, units taken, whether a number alone will do
_ROWS = (
    ("length", "m", "a length", '"32 mm" or "1 1/4 in"', "mm | cm | m | in | ft | yd", False),
    ("area", "m2", "an area", '"1.5 m2" or "16 ft2"', "m2 | cm2 | mm2 | in2 | ft2 | yd2", False),
    ("volume", "m3", "a volume", '"2 L" or "18 bd ft"', _VOLUME, False),
    ("timber", "m3", "a volume of timber", '"18 bd ft"', _VOLUME, False),
    ("mass", "kg", "a mass", '"25 kg"', "g | kg | lb | oz", False),
    ("time", "h", "a time", '"4.5 h", "45 min" or "30 days"', _TIME, False),
    ("areal_mass", "kg/m2", "a mass per area", '"180 g/m2"', "g/m2 | kg/m2 | oz/yd2 | lb/ft2", False),
    ("depth_per_area", "m", "a volume per area", '"0.45 L/m2"', "L/m2 | mL/m2 | gal/ft2 | fl oz/ft2", False),
    ("coverage", "1/m", "a coverage", '"12 m2/L"', "m2/L | ft2/gal", False),
    ("density", "kg/m3", "a density", '"1.1 kg/L"', "kg/L | kg/m3 | g/mL | g/cm3 | lb/ft3 | lb/gal", False),
    ("pressure", "Pa", "a pressure", '"25 inHg"', "inHg | Pa | hPa | kPa | mbar | bar | psi", False),
    ("speed", "m/h", "a speed", '"30 mph"', "mi/h | km/h", False),
    ("feed", "m/h", "a feed rate", '"1800 mm/min"', "mm/min | m/min | in/min | ft/min", False),
    ("distance", "m", "a distance", '"30 mi"', "mi | km | m | ft", False),
    ("power", "kW", "a power", '"2.2 kW"', "kW | W | hp", False),
    ("share", "1", "a share", '"35 %"', "%", False),
    ("number", "1", "a number", '"0.9 .. 1 .. 1.3" or 1.3', "%", True),
    ("count", "each", "a count", "4", _COUNT, True),
    ("mass_per_length", "kg/m", "a mass per length", '"1.2 kg/m"', "kg/m | lb/ft", False),
    ("money", "1", "an amount without its currency", "12.5", "", True),
    ("money_per_length", "/m", "money per length", '"0.70 /mi"', "/mi | /km | /m | /ft | /in", False),
    ("money_per_area", "/m2", "money per area", '"180 /m2"', "/m2 | /ft2", False),
    ("money_per_energy", "/kWh", "money per energy", '"0.15 /kWh"', "/kWh", False),
)


def names(listed: str) -> tuple[str, ...]:
    """The names in a list such as "mm | cm | m"."""
    return tuple(name for name in listed.split(" | ") if name)


DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {
        name: Dimension(name, canonical, words, example, names(units), bare)
        for name, canonical, words, example, units, bare in _ROWS
    }
)
"""Every dimension by its name. "timber" is a volume that `shown` gives in bd ft or m3."""

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


def key(unit: str) -> str:
    """A unit word without what makers vary freely: case, "g / m2", "fl. oz.", "m^2"."""
    return re.sub(r" ?/ ?", "/", re.sub(r"\.(?= |/|$)|\^", "", unit)).strip().casefold()


_SPELLED = {
    "mm": "millimetre | millimetres | millimeter | millimeters",
    "cm": "centimetre | centimetres | centimeter | centimeters",
    "m": "metre | metres | meter | meters",
    "in": '" | inch | inches',
    "ft": "' | foot | feet",
    "yd": "yard | yards",
    "mi": "mile | miles",
    "m2": "sq m",
    "in2": "sq in",
    "ft2": "sq ft | sqft | square foot | square feet",
    "yd2": "sq yd",
    "m3": "cu m",
    "in3": "cu in",
    "ft3": "cu ft | cubic foot | cubic feet",
    "bd ft": "bdft | bf | board foot | board feet",
    "L": "litre | litres | liter | liters",
    "gal": "gallon | gallons",
    "qt": "quart | quarts",
    "pt": "pint | pints",
    "fl oz": "floz | fluid ounce | fluid ounces",
    "g": "gram | grams",
    "lb": "lbs | pound | pounds",
    "oz": "ounce | ounces",
    "s": "sec | second | seconds",
    "min": "mins | minute | minutes",
    "h": "hr | hrs | hour | hours",
    "day": "days",
    "week": "weeks",
    "month": "months",
    "year": "years",
    "g/m2": "gsm",
    "oz/yd2": "oz/sq yd",
    "ft2/gal": "sq ft/gal",
    "mi/h": "mph",
    "%": "percent | per cent",
    "/mi": "/mile",
    "/ft2": "/sq ft",
} | {name: f"{name}s" for name in DIMENSIONS["count"].units if name != "each"}
SPELLINGS = {key(name): name for dimension in DIMENSIONS.values() for name in dimension.units} | {
    key(other): name for name, others in _SPELLED.items() for other in names(others)
}
"""Our name of a unit by the key of each of its spellings."""


def named_unit(unit: str, kind: Dimension, words: Words) -> str:
    """Our name of a unit word, if `kind` takes it; Reading says what else it is, or what is nearest."""
    if not unit:
        if kind.bare:
            return kind.canonical
        raise words.wrong("without a unit", code="unit")
    name = SPELLINGS.get(key(unit))
    if name in kind.units:
        return name
    for other in DIMENSIONS.values():
        if name in other.units:
            found = f"{words.quoted} is {other.words}"
            raise Reading(found, words.wanted, "unit", found=unit, is_of=other.name, wanted=kind.name)
    raise words.wrong(write=words.wanted + nearest(unit, kind.units), code="unit")


def nearest(unit: str, units: Sequence[str]) -> str:
    """The known spelling closest to an unknown unit, as an aside, or nothing."""
    spelled = [one for one, name in SPELLINGS.items() if name in units]
    near = difflib.get_close_matches(key(unit), spelled, n=1, cutoff=_NEAR)
    if not near:
        return ""
    name = SPELLINGS[near[0]]
    return f' (the nearest known unit is "{name if key(name) == near[0] else near[0]}")'
