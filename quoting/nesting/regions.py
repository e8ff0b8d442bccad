"""Free regions of a stock: clear of knots and splits, and where in them a piece fits best."""

from collections.abc import Sequence
from math import inf

from quoting.nesting.rectangles import Node, Piece, Region, Staves, parted

Way = tuple[int, int, bool]
"""Length and width as a piece lies, and whether it is turned."""

Size = tuple[int, int]
"""Length and width of a room."""

SHORT_SIDE, AREA, LONG_SIDE = "short side", "area", "long side"
FITS = (SHORT_SIDE, AREA, LONG_SIDE)
"""A piece fits best where least is left: on the side that fits closest, of the area, on the side that fits less."""


def best_fit(free: Sequence[tuple[int, int, int, int]], ways: Sequence[Way], fit: str) -> tuple[int, Way]:
    """The free region that a piece fits best, and how it lies there; -1 where none has room. A search spends its time here."""
    best, at, lies = inf, -1, ways[0]
    by_area, by_short = fit == AREA, fit == SHORT_SIDE
    for way in ways:
        of_length, of_width, _ = way
        for j, (length, width, _, _) in enumerate(free):
            if of_length <= length and of_width <= width:
                # as `_left`, which takes too long to call
                if by_area:
                    left = length * width
                else:
                    left, above = length - of_length, width - of_width
                    if (left > above) == by_short:
                        left = above
                if left < best:
                    best, at, lies = left, j, way
    return at, lies


def best_stave(
    free: Sequence[tuple[int, int, int, int]], length: int, wanted: int, staves: Staves, fit: str
) -> tuple[int, Way]:
    """The free region that gives the best stave of a panel, as wide as there is use for, and that stave."""
    best, at, lies = inf, -1, (length, 0, False)
    for j, (long, wide, _, _) in enumerate(free):
        stave = stave_width(wide, wanted, staves)
        if length <= long and stave:
            left = _left(fit, long, wide, long - length, wide - stave)
            if left < best:
                best, at, lies = left, j, (length, stave, False)
    return at, lies


def stave_width(room: int, wanted: int, staves: Staves) -> int:
    """The widest stave that a room gives, narrower where the last stave would be too narrow without; 0 where none is wide enough.

    A panel of the narrowest staves may come out wider than is wanted.
    """
    if room < staves.least:
        return 0
    width = max(min(room, staves.most, wanted + staves.loss), staves.least)
    short, narrowest = wanted - (width - staves.loss), staves.least - staves.loss
    return max(width - (narrowest - short), staves.least) if 0 < short < narrowest else width


def _left(fit: str, length: int, width: int, right: int, above: int) -> int:
    """What is left of a region, by which pieces are fitted."""
    if fit == AREA:
        return length * width
    return right if (fit == SHORT_SIDE) == (right < above) else above


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
