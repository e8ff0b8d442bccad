"""Showing measures in the units of a metric or an inch shop: a canonical value as text, and the sentence of a basis."""

import math
import re
from decimal import Decimal
from fractions import Fraction
from string import Formatter
from typing import Any, NamedTuple

from quoting.measures.reading import measure
from quoting.measures.units import DIMENSIONS, SPELLINGS, factor, key
from quoting.values import Basis

# Units of a dimension and the least number shown in each, largest unit first. Where none are named, all is shown in
# the first unit that the dimension takes; what may stand alone is shown alone.
_METRIC: dict[str, dict[str, float]] = {
    "length": {"m": 10, "mm": 0},
    "volume": {"m3": 1, "L": 0},
    "timber": {"m3": 0},
    "mass": {"kg": 0},
    "time": {"h": 1, "min": 0},
    "pressure": {"kPa": 0},
    "speed": {"km/h": 0},
    "distance": {"km": 1, "m": 0},
    "money_per_length": {"/m": 0.1, "/km": 0},
}
_INCH: dict[str, dict[str, float]] = {
    "length": {"in": 0},
    "area": {"ft2": 0},
    "timber": {"bd ft": 0},
    "mass": {"lb": 0},
    "coverage": {"ft2/gal": 0},
    "pressure": {"inHg": 0},
    "speed": {"mph": 0},
    "feed": {"in/min": 0},
    "distance": {"mi": 1, "ft": 0},
    "mass_per_length": {"lb/ft": 0},
    "money_per_length": {"/ft": 0.1, "/mi": 0},
    "money_per_area": {"/ft2": 0},
}
_SYSTEMS = {"metric": _METRIC, "inch": _METRIC | _INCH}

_FINEST = 32  # inches are shown in fractions down to this part
_DIGITS = {"number": 6, "count": 9, "money": 9}  # significant digits of what has no unit
_FIRST_UNIT = re.compile(r"[A-Za-z%'\"]\S*|(?<=\s)/\S+")  # of "2 h 30 min" it is "h"
_MEANT = 1e-9  # relative distance within which a float stands for such a fraction


def shown(value: float, dimension: str, system: str = "metric") -> str:
    """A canonical value as text: `"711.2 mm"`, `"2 1/4 in"`, `"4.5 h"`; `system` "metric" or "inch".

    At least four significant digits survive. Coatings and liquids keep litres and g/m2 in both.
    Takes numpy scalars. Raises KeyError for an unknown dimension or system.
    """
    name, size = unit_shown(value, dimension, system)
    number = float(value) / size
    text = _in_fractions(number) if name == "in" else _in_decimals(number, _DIGITS.get(dimension))
    return f"{text} {name}".rstrip()


def unit_shown(value: float, dimension: str, system: str = "metric") -> tuple[str, float]:
    """The unit a value of this size is shown in, and that unit's size in the canonical one."""
    kind = DIMENSIONS[dimension]
    usual = {"" if kind.bare else kind.units[0]: 0.0}
    for name, least in _SYSTEMS[system].get(dimension, usual).items():
        size = float(factor(SPELLINGS[key(name)] if name else kind.canonical, kind.canonical))
        if abs(value / size) >= least:
            break
    return name, size


class UnitWritten(NamedTuple):
    """A unit as it is written, and its size in the canonical unit."""

    name: str
    size: float

    def text(self, *values: float) -> str:
        """Values in this unit, three digits that count: a range where they differ."""
        numbers = [f"{float(f'{value / self.size:.3g}'):.10g}" for value in values]
        kept = numbers[:1] if len(set(numbers)) == 1 else numbers
        return f"{' .. '.join(kept)} {self.name}".strip()


def road_unit(system: str) -> tuple[str, float]:
    """The unit of distances by road in a system of units, and its length [m]: the larger one, whatever small lengths are written in."""
    name = next(iter(_SYSTEMS[system]["distance"]))
    return name, measure(f"1 {name}", "distance")


def far(distance_m: float, system: str) -> str:
    """A distance by road to a tenth: `"12.4 mi"`. `system` is "inch" or "metric"."""
    name, metres = road_unit(system)
    return f"{distance_m / metres:.1f} {name}"


def as_far(radius_m: float | None, system: str) -> str:
    """A radius by road [m] in words: None is nowhere, infinite is anywhere."""
    if radius_m is None:
        return "nowhere"
    return "anywhere" if math.isinf(radius_m) else far(radius_m, system)


def unit_like(text: str, dimension: str, value: float, system: str) -> UnitWritten:
    """The unit that a range is written in; where nothing is written, the one in which the shop shows a value."""
    shape = text.rpartition("..")[2] or shown(value, dimension or "number", system)
    found = _FIRST_UNIT.search(shape.strip())
    name = found.group() if found else ""
    return UnitWritten(name, measure(f"1 {name}", dimension) if name else 1.0)


def _in_fractions(inches: float) -> str:
    """Inches as "2 1/4" where they are whole parts of 1/32, else in decimals."""
    parts = inches * _FINEST
    if not math.isfinite(parts) or abs(parts - round(parts)) > _MEANT * abs(parts):
        return _in_decimals(inches)
    whole, rest = divmod(Fraction(abs(round(parts)), _FINEST), 1)
    sign = "-" if inches < 0 else ""
    return sign + (" ".join(str(part) for part in (whole, rest) if part) or "0")


def _in_decimals(number: float, digits: int | None = None) -> str:
    """A number without exponent or trailing zeros: three decimals, but four to six significant digits."""
    if number == 0 or not math.isfinite(number):
        return f"{number + 0.0:g}"  # + 0.0 takes the sign off a zero
    if digits is None:
        digits = min(6, max(4, 4 + math.floor(math.log10(abs(number)))))
    return f"{Decimal(f'{number:.{digits}g}').normalize():f}"


class _Sentence(Formatter):
    """Formats `{value:dimension}` by the dimension's units; `{value}` as it is."""

    def __init__(self, system: str) -> None:
        self.system = system

    def format_field(self, value: Any, format_spec: str) -> str:
        if not format_spec:
            return str(value)
        if format_spec == "money":
            return plain_money(float(value))
        return shown(float(value), format_spec, self.system)


def plain_money(value: float) -> str:
    """An amount inside a sentence: two decimals, up to four below a hundred; no currency."""
    whole = f"{value:,.4f}" if abs(value) < 100 else f"{value:,.2f}00"
    return whole[:-2] if whole.endswith("00") else whole.rstrip("0")


def said(given: Basis, system: str) -> str:
    """The sentence of a basis. `system` is "inch" or "metric"."""
    return _Sentence(system).vformat(given.words, (), given.numbers)


def per_cent(share: float | Decimal, digits: int = 1, plus: bool = False) -> str:
    """A share as all doors write it: `"25 %"`, `"10.5 %"`; at most `digits` decimals, and none that say nothing.

    With `plus` a difference, which has its sign: `"+5 %"`.
    """
    number = f"{float(share) * 100:{'+' if plus else ''}.{digits}f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{'0' if number in ('-0', '+0') else number} %"


def hours_said(hours: float) -> str:
    """Hours of a clock: to a tenth, below ten hours to a hundredth: `"52.8 h"`, `"1.25 h"`, `"2 h"`."""
    number = f"{hours:.{1 if hours >= 10 else 2}f}".rstrip("0").rstrip(".")
    return f"{number or '0'} h"


def in_short(sentence: str) -> str:
    """A sentence whose decimals are cut to three digits that count: 22.818 lb becomes 22.8 lb."""

    def short(number: re.Match[str]) -> str:
        value = float(number.group())
        return f"{value:.0f}" if value >= 100 else f"{value:.3g}"

    return re.sub(r"\d+\.\d+", short, sentence)
