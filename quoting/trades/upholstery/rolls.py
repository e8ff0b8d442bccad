"""Covers on a roll of fabric: pieces side by side, rows, repeats of the pattern."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple, cast

import numpy as np

from quoting.takeoff.numbers import whole_down, whole_up
from quoting.trades.upholstery import COVERING
from quoting.values import Num

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.trades.upholstery.record import Upholstery, UpholsteryDefaults


def whole_repeats_m(*, length_m: Num, repeat_m: Num) -> Num:
    """Length of roll from the start of one row to the next [m]: ceil(length / repeat) x repeat; of a plain fabric, repeat 0, the length.

    The same point of the pattern comes to the same place of every piece (upholsterers' practice, no source).
    """
    step = np.where(repeat_m > 0, repeat_m, length_m)
    return whole_up(length_m / step) * step


def side_by_side(*, roll_m: Num, piece_m: Num, repeat_m: Num) -> Num:
    """Pieces that lie side by side in the width of a roll: floor((roll - piece) / pitch) + 1, never below 0.

    The pitch is the piece in whole repeats of the pattern across [m]; of a plain fabric the piece, and this is floor(roll / piece).
    Only the last piece may end within a repeat.
    """
    pitch = whole_repeats_m(length_m=piece_m, repeat_m=repeat_m)
    return cast("Num", np.maximum(whole_down((roll_m - piece_m) / pitch + 1), 0.0))


def running_length_m(*, pieces: Num, side_by_side: Num, row_m: Num) -> Num:
    """Running length that pieces of one size are cut from [m]: ceil(pieces / side by side) x row length. Rows are whole."""
    return whole_up(pieces / side_by_side) * row_m


class Laid(NamedTuple):
    """Pieces of one size on a roll: sides along and across it [m], how many there are, how many lie side by side and how far apart their
    rows are [m]; how many are cut from what is left beside other sizes, and take no length of their own."""

    along_m: float
    across_m: float
    pieces: int
    side_by_side: Num
    row_m: Num
    beside: int = 0

    @property
    def length_m(self) -> Num:
        """Running length [m]."""
        own = self.pieces - self.beside
        return running_length_m(pieces=own, side_by_side=self.side_by_side, row_m=self.row_m) if own else 0.0


def wrap_m(part: Upholstery, own: UpholsteryDefaults) -> float:
    """What a cover has beyond the finished size, a side [m]: the part's own, else the thickness of its foam and the turn-under."""
    return (part.thickness or 0.0) + own.turn_under if part.wrap is None else part.wrap


def roll_m(part: Upholstery, own: UpholsteryDefaults) -> float:
    """Width of the fabric [m]: the part's own, else the shop's."""
    return own.roll_width if part.roll_width is None else part.roll_width


def cut_sizes(part: Upholstery, own: UpholsteryDefaults) -> list[tuple[float, float, int]]:
    """Length, width [m] and number of the pieces of all covers, as they are cut: those of the seats first."""
    more = 2 * wrap_m(part, own)
    seats = (part.length + more, part.width + more, part.quantity)
    return [seats, *((one.length, one.width, one.count * part.quantity) for one in part.cover)]


def laid(part: Upholstery, own: UpholsteryDefaults, railroaded: bool) -> list[Laid]:
    """The pieces on the roll, size by size: their length along it, or across it where they are railroaded.

    The seats come first, then other pieces from the longest; each is cut from what is left beside those before it where it fits there,
    else from rows of its own (as upholsterers lay out a cover, common practice, no source).
    """
    seats, *others = cut_sizes(part, own)
    if railroaded:
        seats, *others = ((width, length, pieces) for length, width, pieces in (seats, *others))
    found = []
    for along, across, pieces in (seats, *sorted(others, reverse=True)):
        abreast = side_by_side(roll_m=roll_m(part, own), piece_m=across, repeat_m=part.repeat_across)
        row = whole_repeats_m(length_m=along, repeat_m=part.repeat_along)
        found.append(Laid(along, across, pieces, abreast, row))
    return _beside(found, float(roll_m(part, own)), part.repeat_across) if others else found


def _beside(sizes: Sequence[Laid], roll_across_m: float, repeat_across_m: float) -> list[Laid]:
    """The sizes with how many of each are cut from what is left beside those before it."""
    found, free = [], [_Strip(roll_across_m, math.inf)]
    for one in sizes:
        left, beside, after = int(one.pieces), 0, list[_Strip]()
        for strip in sorted(free):
            here, rest = _cut(strip, one, left, repeat_across_m)
            left -= here
            beside += here if math.isfinite(strip.along_m) else 0
            after += rest
        found.append(one._replace(beside=beside))
        free = after
    return found


class _Strip(NamedTuple):
    """Fabric that nothing is cut from yet [m]. The narrowest is used first; the roll itself, without an end, is the widest."""

    across_m: float
    along_m: float


def _cut(strip: _Strip, one: Laid, wanted: int, repeat_across_m: float) -> tuple[int, list[_Strip]]:
    """How many pieces of a size a strip gives, and what is left: beside its full rows, beside its last row, and beyond them."""
    across, row = float(one.across_m), float(one.row_m)
    abreast = int(side_by_side(roll_m=strip.across_m, piece_m=across, repeat_m=repeat_across_m))
    here = int(min(wanted, abreast * whole_down(strip.along_m / row))) if abreast else 0
    if not here:
        return 0, [strip]
    pitch = float(whole_repeats_m(length_m=across, repeat_m=repeat_across_m))
    full, last = divmod(here, abreast)
    rest = (
        _Strip(strip.across_m - abreast * pitch, full * row),
        _Strip(strip.across_m - last * pitch, row if last else 0.0),
        _Strip(strip.across_m, strip.along_m - (full + bool(last)) * row),
    )
    return here, [one for one in rest if one.across_m > 0 and one.along_m > 0]


def cover_cut(part: Upholstery, shop: Shop, planned: bool) -> tuple[tuple[float, ...], int, int]:  # noqa: ARG001
    """The size [m] that the cover of a seat is cut to, of one width and one layer."""
    length, width, _ = cut_sizes(part, COVERING.of(shop))[0]
    return (length, width), 1, 1
