"""What is cut and made: every part with its number of pieces, its finished size and the size it is cut from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.costing.needs import take_offs
from quoting.pick import likely
from quoting.takeoff.boards import blank

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.costing.needs import Taken
    from quoting.inputs.brief import Brief

SIDES = ("length", "width", "thickness", "depth")
MADE = ("hardwood", "sheet", "laminate", "casting", "coating", "finish", "glass", "metal", "buy", "outwork")

BY_MEASURE = ("finish", "buy", "outwork")
"""Not made in pieces: their lines say how much of them there is."""


class Cut(NamedTuple):
    """A part: `path` begins the ids of its lines; sides in m, none where a part has none.

    No `pieces` where lines say how much there is. `rough_m` is one blank: of timber before planing, of a laminate before trimming. It is glued up from
    `staves` in width (0: a cut plan says how many), and from `layers` of it in thickness.
    """

    path: str
    trade: str
    part: str
    pieces: int
    finished_m: tuple[float, ...]
    rough_m: tuple[float, ...]
    staves: int = 1
    layers: int = 1


def cuts(brief: Brief) -> Iterator[Cut]:
    """Every part of all pieces together, in printed order."""
    for taken in take_offs(brief, likely):
        if taken.trade in MADE:
            yield _cut(taken, brief)


def _cut(taken: Taken, brief: Brief) -> Cut:
    part: Any = taken.part
    counted = getattr(part, "quantity", 1)
    pieces = 0 if taken.trade in BY_MEASURE else counted * taken.times
    sides = tuple(side for name in SIDES if isinstance(side := getattr(part, name, None), float))
    plain = Cut(f"{taken.trade}.{part.id}", taken.trade, part.part, pieces, sides, ())
    if taken.trade == "hardwood":
        size = blank(part, brief.shop.timber)
        rough = (float(size.length_m), float(size.width_m), float(size.thickness_m))
        planned = part.glued_up and plain.path in brief.tables.yields
        return plain._replace(rough_m=rough, staves=0 if planned else int(size.staves), layers=part.layers)
    if taken.trade == "laminate":
        trim = 2 * brief.shop.laminate.trim
        return plain._replace(rough_m=(part.length + trim, part.width + trim))
    return plain
