"""The dimensions of measures: for each its canonical unit and the closed list of units it takes."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping


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
    """A unit of a price book: `factor` is its size in the canonical unit of `dimension`."""

    name: str
    dimension: str
    factor: float


_VOLUME = "m3 | bd ft | L | mL | cm3 | gal | qt | pt | fl oz | in3 | ft3"
_COUNT = "each | sheet | piece | pair | set | pack | tube | roll | panel"

# name, canonical unit, words, example, units taken, whether a number alone will do
_ROWS = (
    ("length", "m", "a length", '"32 mm" or "1 1/4 in"', "mm | cm | m | in | ft | yd", False),
    ("area", "m2", "an area", '"1.5 m2" or "16 ft2"', "m2 | cm2 | mm2 | in2 | ft2 | yd2", False),
    ("volume", "m3", "a volume", '"2 L" or "18 bd ft"', _VOLUME, False),
    ("timber", "m3", "a volume of timber", '"18 bd ft"', _VOLUME, False),
    ("mass", "kg", "a mass", '"25 kg"', "g | kg | lb | oz", False),
    (
        "time",
        "h",
        "a time",
        '"4.5 h", "45 min" or "30 days"',
        "s | min | h | day | week | month | year",
        False,
    ),
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
