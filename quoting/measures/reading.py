"""Reading measures: one value, a range, a rough thickness, a mix ratio, a temperature, a section, a price file's unit."""

import math
import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import NamedTuple

from quoting.measures import spelling
from quoting.measures.spelling import in_ascii, unread
from quoting.measures.units import DIMENSIONS, SPELLINGS, Dimension, Unit, factor, key, named_unit, nearest
from quoting.values import Uncertain

_WRITTEN = re.compile(r"(-?\d+(?:\.\d+)?) ?(?:°|deg\.? ?)?([CF])", re.IGNORECASE)
COLDEST_C, HOTTEST_C = -40.0, 250.0


def temperature(text: str) -> float:
    """A temperature of a shop or of resin [degrees Celsius]: "19 C", "66 F", "19 °C".

    t/C = (t/F - 32) / 1.8 (NIST SP 811, appendix B.9). Raises Reading for anything else, and beyond what a shop has.
    """
    wanted = 'write a temperature such as "19 C" or "66 F"'
    found = _WRITTEN.fullmatch(in_ascii(text))
    if found is None:
        raise unread(text, wanted, "unreadable")
    number = float(found[1])
    celsius = number if found[2].upper() == "C" else (number - 32) / 1.8
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise unread(text, wanted, "too_large", "which no workshop has")
    return celsius


def measure(text: object, dimension: str) -> float:
    """One value as a maker writes it, in the canonical unit of `dimension` (see DIMENSIONS).

    `"1 1/4 in"`, `5' 6 1/2"`, `"32 mm"`, `"35 %"`; a number alone where the dimension allows it.
    Raises Reading for anything else: it quotes what was found and says what to write.
    """
    kind = DIMENSIONS[dimension]
    if kind.bare and not isinstance(text, str):
        return float(spelling.bare(text, kind.wanted))
    words = spelling.words(text, kind.wanted)
    return float(_total(spelling.parts(words), kind, words))


def span(text: object, dimension: str) -> Uncertain:
    """A range in the canonical unit: `"3 .. 4 .. 6 h"`, `"45 min .. 2 h"` (likely midway), or one value.

    A unit at the end serves all values, or each carries its own. Raises Reading as `measure` does,
    and where low is above high or likely lies outside the two.
    """
    kind = DIMENSIONS[dimension]
    if not isinstance(text, str):
        value = measure(text, dimension)
        return Uncertain(value, value, value)
    words = spelling.words(text, kind.wanted)
    values = _values(spelling.bounds(words), kind, words)
    if len(values) > 3:
        raise words.wrong(
            f"a range of {len(values)} values",
            'write two or three, as in "3 .. 4 .. 6 h"',
            code="range",
            count=len(values),
        )
    low, high = values[0], values[-1]
    likely = values[1] if len(values) == 3 else (low + high) / 2
    if low > high:
        raise words.wrong(
            "where the low value is above the high one", "write the lowest value first", code="range"
        )
    if not low <= likely <= high:
        raise words.wrong(
            "where the likely value is outside low and high", "write low .. likely .. high", code="range"
        )
    return Uncertain(float(low), float(likely), float(high))


def rough(text: object) -> float:
    """A rough thickness [m]: quarters of an inch such as `"8/4"` (2 in), or a length such as `"52 mm"`.

    Raises Reading for anything else.
    """
    words = spelling.words(text, 'write a rough thickness such as "8/4" or "52 mm"')
    if quarters := re.fullmatch(r"([1-9]\d?)/4", words.plain):
        return float(int(quarters[1]) * factor("in", "m") / 4)
    return float(_total(spelling.parts(words), DIMENSIONS["length"], words))


def ratio(text: object) -> tuple[float, float]:
    """A mix ratio such as `"2:1"` or `"100:47"`, both numbers above zero. Raises Reading otherwise."""
    words = spelling.words(text, 'write a ratio such as "2:1" or "100:47"')
    both = re.fullmatch(r"(\d+(?:\.\d+)?) ?: ?(\d+(?:\.\d+)?)", words.plain)
    if both is None:
        raise words.wrong()
    first, second = float(both[1]), float(both[2])
    if not first or not second:
        raise words.wrong("where a part is zero", code="zero")
    return first, second


def unit(text: str) -> Unit:
    """A unit of a price file: `"bd ft"`, `"L"`, `"m2"`, `"kg"`, `"h"`, or a count word such as "sheet".

    Raises Reading for an unknown unit.
    """
    words = spelling.words(text, 'write a unit such as "bd ft", "L", "m2", "kg" or "each"')
    sold_by = [DIMENSIONS[name] for name in ("volume", "area", "length", "mass", "time", "count")]
    name = SPELLINGS.get(key(words.plain))
    for kind in sold_by:
        if name in kind.units:
            return Unit(name, kind.name, float(factor(name, kind.canonical)))
    names = [name for kind in sold_by for name in kind.units]
    raise words.wrong(write=words.wanted + nearest(words.plain, names), code="unit")


def _values(pieces: list[spelling.Words], kind: Dimension, words: spelling.Words) -> list[Fraction]:
    """The values of a range or a section, with the last one's unit for all if the others have none."""
    read = [spelling.parts(piece) for piece in pieces]
    with_unit = [parts for parts in read if parts[0].unit]
    if 0 < len(with_unit) < len(read):
        if with_unit != [read[-1]] or len(read[-1]) > 1:
            advice = "write the unit once, at the end, or with each value"
            raise words.wrong("where only some values have a unit", advice, code="unit")
        read = [(parts[0]._replace(unit=read[-1][0].unit),) for parts in read]
    return [_total(parts, kind, words) for parts in read]


# Two units that stand together as one value, and how many of the second make one of the first.
_TOGETHER = {("ft", "in"): 12, ("h", "min"): 60, ("lb", "oz"): 16}


def _total(parts: Sequence[spelling.Part], kind: Dimension, words: spelling.Words) -> Fraction:
    names = tuple(named_unit(part.unit, kind, words) for part in parts)
    if len(parts) == 2:
        most = _TOGETHER.get((names[0], names[1]))
        if most is None:
            raise words.wrong()
        if parts[1].number >= most:
            raise words.wrong(
                f"where the second number must be below {most}", code="not_a_measure", most=most
            )
    sizes = (factor(name, kind.canonical) for name in names)
    return sum((part.number * size for part, size in zip(parts, sizes, strict=True)), Fraction(0))


class Section(NamedTuple):
    """A cross-section of metal stock: as the maker wrote it, and its area [m2]."""

    words: str
    area_m2: float


class _Shape(NamedTuple):
    """A shape of stock: how many sizes it takes, how many walls lie across it, its area."""

    sizes: int
    walls: int
    area: Callable[..., float]


_SHAPES = {
    "flat": _Shape(2, 0, lambda width, height: width * height),
    "round": _Shape(1, 0, lambda across: math.pi * across**2 / 4),
    "tube": _Shape(3, 2, lambda width, height, wall: 2 * wall * (width + height - 2 * wall)),
    "round tube": _Shape(2, 2, lambda across, wall: math.pi * wall * (across - wall)),
    "angle": _Shape(3, 1, lambda leg, other_leg, wall: wall * (leg + other_leg - wall)),
}
_SECTION = re.compile(rf"(?P<sizes>.+?)(?: (?P<shape>{'|'.join(_SHAPES)}))?", re.IGNORECASE)
_SECTION_WANTED = 'write a section such as "1/4 x 3 in", "25 mm round" or "30 x 30 x 2 mm tube"'


def section(text: object) -> Section:
    """A section of metal stock, sharp-cornered: flat `"1/4 x 3 in"`, `"25 mm round"`,
    `"30 x 30 x 2 mm tube"`, `"25 x 2 mm round tube"`, `"40 x 40 x 4 mm angle"`; the wall comes last.

    Raises Reading where sizes are zero, too few or many for the shape, or the walls leave no room.
    """
    words = spelling.words(text, _SECTION_WANTED)
    match = _SECTION.fullmatch(words.plain)
    if match is None:
        raise words.wrong()
    name = (match["shape"] or "flat").casefold()
    shape = _SHAPES[name]
    pieces = [words._replace(plain=size) for size in re.split(r" ?[xX] ?", match["sizes"])]
    sizes = [float(size) for size in _values(pieces, DIMENSIONS["length"], words)]
    if len(sizes) != shape.sizes:
        raise words.wrong(
            f"where the sizes of a {name} number {shape.sizes}, not {len(sizes)}",
            code="not_a_measure",
            name=name,
            count=len(sizes),
        )
    if min(sizes) == 0:
        raise words.wrong("where a size is zero", code="zero")
    if shape.walls and shape.walls * sizes[-1] >= min(sizes[:-1]):
        raise words.wrong("whose wall fills the whole section", code="no_fit")
    return Section(words.plain, shape.area(*sizes))
