"""The best way to cut one rectangle, pieces at given worths and as often as they fit: every guillotine pattern is weighed."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.nesting.rectangles import Cut, Node, Piece, Region

NONE, ACROSS, RIP, PIECE = 0, 1, 2, 3


class Table(NamedTuple):
    """Best worths of rectangles by their length and width, at the points where a cut can pay; what each is made of.

    `lengths`, `widths`: points [ticks], from 0; `worth`: (lengths, widths); `how` and `what`: the kind of step and its place.
    """

    lengths: NDArray[np.int64]
    widths: NDArray[np.int64]
    worth: NDArray[np.float64]
    how: NDArray[np.int8]
    what: NDArray[np.int64]


def points(sizes: Sequence[int], room: int, most: int) -> NDArray[np.int64] | None:
    """Sums of sizes up to a room: a cut anywhere else can be moved back to one of them without loss (normal patterns). None
    where they are more than `most`.

    Herz, Recursive computational procedure for two-dimensional stock cutting, IBM Journal of Research and Development 16 (1972).
    """
    reached = {0}
    for size in sorted(set(sizes), reverse=True):
        for start in sorted(reached):
            reached.update(range(start, room + 1, size))
            if len(reached) > most:
                return None
    return np.array(sorted(reached), dtype=np.int64)


def table(
    pieces: Sequence[Piece],
    worths: NDArray[np.float64],
    lengths: NDArray[np.int64],
    widths: NDArray[np.int64],
) -> Table:
    """Worths of all rectangles, by dynamic programming over both kinds of cuts.

    F(l, w) = max of a piece that fits, F(k, w) + F(l - k, w) and F(l, k) + F(l, w - k): Gilmore and Gomory, The theory and
    computation of knapsack functions, Operations Research 14 (1966).
    """
    shape = (len(lengths), len(widths))
    worth, how, what = np.zeros(shape), np.zeros(shape, dtype=np.int8), np.zeros(shape, dtype=np.int64)
    for i, piece in enumerate(pieces):
        for turned, (length, width, _) in enumerate(piece.ways()):
            a, b = np.searchsorted(lengths, length), np.searchsorted(widths, width)
            better = worth[a:, b:] < worths[i]
            worth[a:, b:][better] = worths[i]
            how[a:, b:][better] = PIECE
            what[a:, b:][better] = 2 * i + turned
    halves_l = [_halves(lengths, i) for i in range(shape[0])]
    halves_w = [_halves(widths, j) for j in range(shape[1])]
    for i in range(1, shape[0]):
        one, other = halves_l[i]
        if len(one):
            sums = worth[one] + worth[other]
            k = np.argmax(sums, axis=0)
            best = sums[k, np.arange(shape[1])]
            better = best > worth[i]
            worth[i][better], how[i][better], what[i][better] = best[better], ACROSS, one[k[better]]
        row = worth[i]
        for j in range(1, shape[1]):
            one, other = halves_w[j]
            if len(one):
                sums = row[one] + row[other]
                k = int(np.argmax(sums))
                if sums[k] > row[j]:
                    row[j], how[i, j], what[i, j] = sums[k], RIP, one[k]
    return Table(lengths, widths, worth, how, what)


def _halves(grid: NDArray[np.int64], i: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Points that part a point in two, none twice: their indexes, and those of what is left of it."""
    one = np.arange(1, np.searchsorted(grid, grid[i] // 2, side="right"))
    return one, np.searchsorted(grid, grid[i] - grid[one], side="right") - 1


def worth_of(found: Table, room: tuple[int, int]) -> float:
    """The best worth of a room, which the table reaches."""
    return float(found.worth[_place(found, *room)])


def _place(found: Table, length: int, width: int) -> tuple[int, int]:
    i = int(np.searchsorted(found.lengths, length, side="right")) - 1
    return i, int(np.searchsorted(found.widths, width, side="right")) - 1


def cuts_of(found: Table, pieces: Sequence[Piece], room: tuple[int, int]) -> Node:
    """The cuts that give the best worth of a room."""

    def node(region: Region) -> Node:
        i, j = _place(found, region.length, region.width)
        how, what = found.how[i, j], int(found.what[i, j])
        if how == ACROSS:
            return halved(region, True, int(found.lengths[what]))
        if how == RIP:
            return halved(region, False, int(found.widths[what]))
        if how == NONE:
            return Node(region)
        kind, turned = divmod(what, 2)
        length, width, _ = pieces[kind].ways()[turned]
        if region.length > length:
            return halved(region, True, length)
        if region.width > width:
            return halved(region, False, width)
        return Node(region, piece=kind, turned=bool(turned))

    def halved(region: Region, across: bool, at: int) -> Node:
        return Node(region, Cut(across, at, *map(node, region.sides(across, at))))

    return node(Region(0, 0, *room))
