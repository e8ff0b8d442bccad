"""The words makers use for units: every spelling, our name for it, and the nearest to a wrong one."""

from __future__ import annotations

import difflib
import re
from typing import TYPE_CHECKING

from quoting.errors import Reading
from quoting.measures.dimensions import DIMENSIONS, Dimension, names

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.measures.spelling import Words

_OTHER_SPELLINGS = {
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


def key(unit: str) -> str:
    """A unit word without what makers vary freely: case, "g / m2", "fl. oz.", "m^2"."""
    return re.sub(r" ?/ ?", "/", re.sub(r"\.(?= |/|$)|\^", "", unit)).strip().casefold()


SPELLINGS = {key(name): name for dimension in DIMENSIONS.values() for name in dimension.units} | {
    key(other): name for name, others in _OTHER_SPELLINGS.items() for other in names(others)
}
"""Our name of a unit by the key of each of its spellings."""


def named_unit(unit: str, kind: Dimension, words: Words) -> str:
    """Our name of a unit word, if `kind` takes it; Reading says what else it is, or what is nearest."""
    if not unit:
        if kind.bare:
            return kind.canonical
        raise words.wrong("without a unit")
    name = SPELLINGS.get(key(unit))
    if name in kind.units:
        return name
    for other in DIMENSIONS.values():
        if name in other.units:
            raise Reading(f"{words.quoted} is {other.words}", words.wanted)
    raise words.wrong(write=words.wanted + nearest(unit, kind.units))


_NEAR = 0.75  # likeness (difflib) from which a spelling is worth offering


def nearest(unit: str, units: Sequence[str]) -> str:
    """The known spelling closest to an unknown unit, as an aside, or nothing."""
    known = [spelled for spelled, name in SPELLINGS.items() if name in units]
    near = difflib.get_close_matches(key(unit), known, n=1, cutoff=_NEAR)
    if not near:
        return ""
    name = SPELLINGS[near[0]]
    return f' (the nearest known unit is "{name if key(name) == near[0] else near[0]}")'
