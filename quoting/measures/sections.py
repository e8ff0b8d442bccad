"""Cross-sections of metal stock: flats, rounds, tubes and angles, read into their area."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, NamedTuple

from quoting.measures import spelling
from quoting.measures.dimensions import DIMENSIONS
from quoting.measures.reading import values_of

if TYPE_CHECKING:
    from collections.abc import Callable


class Section(NamedTuple):
    """A cross-section of metal stock: as the maker wrote it, and its area [m2]."""

    words: str
    area_m2: float


class _Shape(NamedTuple):
    """A shape of stock: how many sizes it takes, how many walls lie across it, its area."""

    sizes: int
    walls: int
    area: Callable[..., float]


_FLAT = _Shape(2, 0, lambda width, height: width * height)
_SHAPES = {
    "": _FLAT,
    "flat": _FLAT,
    "round": _Shape(1, 0, lambda across: math.pi * across**2 / 4),
    "tube": _Shape(3, 2, lambda width, height, wall: 2 * wall * (width + height - 2 * wall)),
    "round tube": _Shape(2, 2, lambda across, wall: math.pi * wall * (across - wall)),
    "angle": _Shape(3, 1, lambda leg, other_leg, wall: wall * (leg + other_leg - wall)),
}
_SECTION = re.compile(rf"(?P<sizes>.+?)(?: (?P<shape>{'|'.join(filter(None, _SHAPES))}))?", re.IGNORECASE)
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
    name = (match["shape"] or "").casefold()
    shape = _SHAPES[name]
    pieces = [words._replace(plain=size) for size in re.split(r" ?[xX] ?", match["sizes"])]
    sizes = [float(size) for size in values_of(pieces, DIMENSIONS["length"], words)]
    if len(sizes) != shape.sizes:
        raise words.wrong(f"where the sizes of a {name or 'flat'} number {shape.sizes}, not {len(sizes)}")
    if min(sizes) == 0:
        raise words.wrong("where a size is zero")
    if shape.walls and shape.walls * sizes[-1] >= min(sizes[:-1]):
        raise words.wrong("whose wall fills the whole section")
    return Section(words.plain, shape.area(*sizes))
