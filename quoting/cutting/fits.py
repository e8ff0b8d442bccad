"""Where a piece fits best among free regions, and how it lies there."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.cutting.rectangles import Piece, Staves

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
