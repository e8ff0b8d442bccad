"""Rectangles to be sawn from rectangles: pieces, stock clear of knots and splits, and the cuts that part them."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from quoting.nesting.pattern import Offer

Way = tuple[int, int, bool]
"""Length and width as a piece lies, and whether it is turned."""

Size = tuple[int, int]
"""Length and width of a room."""

Rooms = Sequence[Sequence[Sequence[Size]]]
"""The clear regions of every stock, by way."""

CALLS_EACH = 6
"""Calls below one another for a piece, at most, where a tree of cuts is built or gone through."""


class Staves(NamedTuple):
    """What a panel is glued up from: the narrowest and widest stave, and the width that each loses to its joint [ticks]."""

    least: int
    most: int
    loss: int


class Piece(NamedTuple):
    """A blank: length along the grain, width across it [ticks], and how many. One that `turns` may lie either way.

    With `staves` it is a panel: its width is made of staves of any widths, which lose a joint each.
    """

    length: int
    width: int
    number: int
    turns: bool = False
    staves: Staves | None = None

    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """Length and width as it lies, and whether it is turned."""
        turns = self.turns and self.length != self.width
        turned = ((self.width, self.length, True),) if turns else ()
        return ((self.length, self.width, False), *turned)

    def with_kerf(self, kerf: int) -> Piece:
        """The piece, or each of its staves, with the kerf of its cuts along and across."""
        if self.staves is None:
            return self._replace(length=self.length + kerf, width=self.width + kerf)
        least, most, loss = self.staves
        return self._replace(length=self.length + kerf, staves=Staves(least + kerf, most + kerf, loss + kerf))

    @property
    def area(self) -> int:
        """The least area of stock that it takes."""
        if self.staves is None:
            return self.length * self.width
        fewest = -(-self.width // (self.staves.most - self.staves.loss))
        return self.length * (self.width + fewest * self.staves.loss)


class Region(NamedTuple):
    """A rectangle of stock, from its corner [ticks]."""

    x: int
    y: int
    length: int
    width: int

    def sides(self, across: bool, at: int) -> tuple[Region, Region]:
        """The two that a cut parts it into: across the grain at a length, or along it at a width."""
        x, y, length, width = self
        if across:
            return Region(x, y, at, width), Region(x + at, y, length - at, width)
        return Region(x, y, length, at), Region(x, y + at, length, width - at)


class Cut(NamedTuple):
    """A saw cut right through a region: across the grain at a length, or along it (a rip) at a width; then the two sides."""

    across: bool
    at: int
    first: Node
    second: Node


class Node(NamedTuple):
    """A region and what becomes of it: cut, a piece (its kind), an offcut, or waste where it is not clear.

    A stave names its panel: the first of its kind is 1.
    """

    region: Region
    cut: Cut | None = None
    piece: int | None = None
    turned: bool = False
    clear: bool = True
    panel: int = 0


def parted(region: Region, across: bool, at: int, first: Node, second: Node) -> Node:
    """A region cut in two; the first side alone where nothing is beyond the cut."""
    if at >= (region.length if across else region.width):
        return first
    return Node(region, Cut(across, at, first, second))


@contextmanager
def deep(pieces: int) -> Iterator[None]:
    """Room to go as deep into a tree of cuts as one stock may have pieces: each is a few calls below the one before it."""
    before = sys.getrecursionlimit()
    sys.setrecursionlimit(before + CALLS_EACH * pieces)
    try:
        yield
    finally:
        sys.setrecursionlimit(before)


def walk(node: Node) -> Iterator[Node]:
    """A region and all that is cut from it, in the order of the cuts."""
    waiting = [node]
    while waiting:
        one = waiting.pop()
        yield one
        if one.cut is not None:
            waiting += [one.cut.second, one.cut.first]


def leaves(node: Node) -> Iterator[Node]:
    """Regions that are cut no further."""
    return (one for one in walk(node) if one.cut is None)


def flat(node: Node) -> tuple[object, ...]:
    """What tells two trees of cuts apart, without their depth."""
    return tuple(
        (one.region, one.piece, one.turned, one.clear, one.panel, one.cut and one.cut[:2])
        for one in walk(node)
    )


def fill_of(node: Node, kinds: int) -> tuple[int, ...]:
    """Pieces of every kind."""
    counts = Counter(one.piece for one in leaves(node))
    return tuple(counts[i] for i in range(kinds))


def without_idle_cuts(node: Node, kept: Callable[[Region], bool]) -> Node:
    """The same without cuts that only part one offcut from another, or waste from an offcut that is not kept."""
    if node.cut is None:
        return node
    ends = list(leaves(node))
    if all(one.piece is None for one in ends):
        clear = all(one.clear for one in ends)
        if clear or not any(one.clear and kept(one.region) for one in ends):
            return Node(node.region, clear=clear)
    first, second = (without_idle_cuts(side, kept) for side in (node.cut.first, node.cut.second))
    return node._replace(cut=node.cut._replace(first=first, second=second))


def with_only(node: Node, fill: tuple[int, ...]) -> Node:
    """The same cuts with no more pieces of a kind than are wanted: the last ones stay offcuts."""
    left = list(fill)

    def kept(one: Node) -> Node:
        if one.cut is not None:
            return one._replace(cut=one.cut._replace(first=kept(one.cut.first), second=kept(one.cut.second)))
        if one.piece is None:
            return one
        left[one.piece] -= 1
        return one if left[one.piece] >= 0 else Node(one.region)

    return kept(node)


class Stock(NamedTuple):
    """A kind of stock: what one costs and how many there are, and the ways to saw it clear, each with its clear regions."""

    offer: Offer
    clearings: tuple[Node, ...]

    @property
    def size(self) -> Size:
        """Length and width of all of it, zones included."""
        board = self.clearings[0].region
        return board.length, board.width

    def rooms(self, way: int) -> list[Size]:
        """Length and width of the regions that are clear, in the order of the cuts."""
        return [(one.region.length, one.region.width) for one in leaves(self.clearings[way]) if one.clear]


def has_room(room: Size, piece: Piece) -> bool:
    """True where a piece, or the narrowest stave of it, fits."""
    length, width = piece.length, piece.staves.least if piece.staves else piece.width
    if length <= room[0] and width <= room[1]:
        return True
    return piece.turns and width <= room[0] and length <= room[1]


def clearings(length: int, width: int, zones: Sequence[Region], kerf: int) -> tuple[Node, ...]:
    """Ways to saw the zones out of a board: across the grain first, or along it first; one way where that is the same.

    Regions carry the kerf of the cut that ends them, as pieces do; that of a cut before a zone comes out of the zone.
    """
    board = Region(0, 0, length + kerf, width + kerf)
    return tuple(dict.fromkeys(_cleared(board, zones, kerf, across) for across in (True, False)))


def _cleared(region: Region, zones: Sequence[Region], kerf: int, across: bool) -> Node:
    """A region with one cut before or behind the first zone that reaches into it, and the same of both its sides."""
    zone = next((one for one in zones if _meet(region, one, kerf)), None)
    if zone is None:
        return Node(region)
    for way in (across, not across):
        start, size = (region.x, region.length) if way else (region.y, region.width)
        begin, long = (zone.x, zone.length) if way else (zone.y, zone.width)
        at = begin + kerf - start if begin > start else begin + long - start
        if begin > start or at < size - kerf:
            sides = (_cleared(side, zones, kerf, across) for side in region.sides(way, at))
            return parted(region, way, at, *sides)
    return Node(region, clear=False)


def _meet(region: Region, zone: Region, kerf: int) -> bool:
    """True where a zone reaches into what a region is without its last kerf."""
    return (
        zone.x < region.x + region.length - kerf
        and region.x < zone.x + zone.length
        and zone.y < region.y + region.width - kerf
        and region.y < zone.y + zone.width
    )
