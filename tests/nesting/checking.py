"""Whether a plan can be cut, judged from where its pieces lie and by nothing of the planner."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from quoting.nesting.rectangles import walk

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.nesting.rectangles import Node, Piece, Region
    from quoting.nesting.sheets import Sawn


class Lies(NamedTuple):
    """A piece as it lies on its stock, without kerf."""

    kind: int
    x: int
    y: int
    length: int
    width: int
    turned: bool


def lying(cuts: Node, kerf: int) -> list[Lies]:
    """Pieces of a stock."""
    return [
        Lies(
            one.piece,
            one.region.x,
            one.region.y,
            one.region.length - kerf,
            one.region.width - kerf,
            one.turned,
        )
        for one in walk(cuts)
        if one.piece is not None
    ]


def faults_of_stock(
    cuts: Node, pieces: Sequence[Piece], size: tuple[int, int], zones: Sequence[Region], kerf: int
) -> list[str]:
    """All that is wrong with one stock."""
    lies, found = lying(cuts, kerf), []
    for one in lies:
        piece = pieces[one.kind]
        if one.x < 0 or one.y < 0 or one.x + one.length > size[0] or one.y + one.width > size[1]:
            found.append(f"{one} lies outside {size}")
        if one.turned and not piece.turns:
            found.append(f"{one} is turned against its grain")
        if piece.staves is None:
            sides = (piece.width, piece.length) if one.turned else (piece.length, piece.width)
            if (one.length, one.width) != sides:
                found.append(f"{one} is not {sides}")
        elif one.length != piece.length or not piece.staves.least <= one.width <= piece.staves.most:
            found.append(f"{one} is no stave of {piece}")
        found += [
            f"{one} lies on {zone}" for zone in zones
            if one.x < zone.x + zone.length and zone.x < one.x + one.length and one.y < zone.y + zone.width and zone.y < one.y + one.width
        ]  # fmt: skip
    for one, other in combinations(lies, 2):
        apart = (
            one.x + one.length + kerf <= other.x
            or other.x + other.length + kerf <= one.x
            or one.y + one.width + kerf <= other.y
            or other.y + other.width + kerf <= one.y
        )
        if not apart:
            found.append(f"{one} and {other} lie closer than a kerf")
    if not sawable(lies, kerf):
        found.append("no saw cuts right through all of it")
    return found


def sawable(lies: Sequence[Lies], kerf: int) -> bool:
    """True where cuts right through part all pieces: some straight line parts them in two groups, and so each group."""
    if len(lies) <= 1:
        return True
    for axis in (0, 1):
        begins = [one.y if axis else one.x for one in lies]
        ends = [one.y + one.width if axis else one.x + one.length for one in lies]
        for at in sorted(set(ends)):
            before = [one for one, end in zip(lies, ends, strict=True) if end <= at]
            behind = [one for one, begin in zip(lies, begins, strict=True) if begin >= at + kerf]
            if behind and len(before) + len(behind) == len(lies):
                return sawable(before, kerf) and sawable(behind, kerf)
    return False


def missing(sawn: Sequence[Sawn], pieces: Sequence[Piece], kerf: int) -> list[str]:
    """Pieces and panels that are not there as often, or not as wide, as is wanted."""
    found = []
    for kind, piece in enumerate(pieces):
        mine = [
            one
            for each in sawn
            for _ in range(each.times)
            for one in lying(each.cuts, kerf)
            if one.kind == kind
        ]
        if piece.staves is None:
            if len(mine) != piece.number:
                found.append(f"{len(mine)} of {piece}")
        elif sum(one.width - piece.staves.loss for one in mine) < piece.width * piece.number:
            found.append(f"staves of {piece} do not make its width")
    return found
