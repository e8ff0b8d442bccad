"""Sheets and boards cut into rectangles by cuts right through: least price, with prices that no plan can be below."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from quoting.nesting.columns import Made
from quoting.nesting.pattern import USUAL, Limit, Pattern, Use
from quoting.nesting.placing import Laid, drawn
from quoting.nesting.rectangles import Cut, Node, Piece, Region, Stock, fill_of, flat, with_only
from quoting.nesting.search import Search
from quoting.nesting.whole import area_bound, packed

NONE, ACROSS, RIP, PIECE = 0, 1, 2, 3
"""What a rectangle of a table becomes."""

Points: TypeAlias = NDArray[np.int64]
"""Places along a side where a cut can pay [ticks], from 0."""

MOST_POINTS = 200
"""Points a side of a table of best worths: one of that size is filled in a tenth of a second."""


class Table(NamedTuple):
    """Best worths of rectangles by their length and width, at the points where a cut can pay; what each is made of.

    `worth`: (lengths, widths); `how` and `what`: the kind of step and its place.
    """

    lengths: Points
    widths: Points
    worth: NDArray[np.float64]
    how: NDArray[np.int8]
    what: NDArray[np.int64]

    def place(self, length: int, width: int) -> tuple[int, int]:
        """Where the worth of a room stands, which the table reaches."""
        i = int(np.searchsorted(self.lengths, length, side="right")) - 1
        return i, int(np.searchsorted(self.widths, width, side="right")) - 1


def points(sizes: Sequence[int], room: int, most: int) -> Points | None:
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


def table(pieces: Sequence[Piece], worths: NDArray[np.float64], lengths: Points, widths: Points) -> Table:
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


def _halves(grid: Points, i: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Points that part a point in two, none twice: their indexes, and those of what is left of it."""
    one = np.arange(1, np.searchsorted(grid, grid[i] // 2, side="right"))
    return one, np.searchsorted(grid, grid[i] - grid[one], side="right") - 1


def cuts_of(found: Table, pieces: Sequence[Piece], room: tuple[int, int]) -> Node:
    """The cuts that give the best worth of a room."""

    def node(region: Region) -> Node:
        at = found.place(region.length, region.width)
        how, what = found.how[at], int(found.what[at])
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


class Sawn(NamedTuple):
    """Stock of one kind cut in one way, and how many of it. Regions carry the kerf of their cuts."""

    stock: int
    times: int
    cuts: Node


class SawPlan(NamedTuple):
    """Stock to cut; its price, and a price that no plan is below [minor units of money]."""

    sawn: tuple[Sawn, ...]
    price: int
    bound: int


def sheet_plan(pieces: Sequence[Piece], stocks: Sequence[Stock], limit: Limit = USUAL) -> SawPlan | None:
    """The plan of least price that is found; None where the stock is not enough. Pieces and stock carry their kerf.

    A search by placing pieces one after another; where it ends above the bound and the cuts that can pay are few enough to
    be weighed all, patterns that the linear programme asks for are chosen among with those of the search.
    """
    bound = area_bound(pieces, stocks)
    if bound is None:
        return None
    search = Search(pieces, stocks)
    found = search.run(limit, bound)
    if found is None:
        return None

    def draw(laid: Laid) -> Node:
        return drawn(laid, stocks[laid.stock])

    tables = tables_of(pieces, stocks)
    if found.price > bound and tables is not None and not limit.halted():
        met = [tables.took(laid.stock, draw(laid)) for laid in search.met.values()]
        start = Counter(tables.took(laid.stock, draw(laid)) for laid in found.laid)
        uses = tuple(Use(pattern, times) for pattern, times in start.items())
        offers = [stock.offer for stock in stocks]
        best = packed([piece.number for piece in pieces], offers, tables, uses, limit, met)
        assert best is not None  # it never loses its start
        sawn = tuple(
            Sawn(pattern.stock, times, with_only(tables.layouts[pattern.layout], pattern.fill))
            for pattern, times in best.uses
        )
        return SawPlan(sawn, best.price, max(best.bound, min(bound, best.price)))
    alike: dict[tuple[object, ...], list[Sawn]] = defaultdict(list)
    for laid in found.laid:
        cuts = draw(laid)
        alike[laid.stock, flat(cuts)].append(Sawn(laid.stock, 1, cuts))
    sawn = tuple(those[0]._replace(times=len(those)) for those in alike.values())
    return SawPlan(sawn, found.price, min(bound, found.price))


class Tables:
    """Best patterns of stock by tables of best worths. `layouts` has the cuts of every pattern, by its index."""

    def __init__(
        self, pieces: Sequence[Piece], stocks: Sequence[Stock], lengths: Points, widths: Points
    ) -> None:
        self.pieces, self.lengths, self.widths = pieces, lengths, widths
        self.rooms = [stock.size for stock in stocks]
        self.layouts: list[Node] = []
        self._at = b""
        self._best: Table | None = None  # one table holds the best worths of all rooms

    def took(self, stock: int, cuts: Node) -> Pattern:
        """The pattern of a stock that is cut so."""
        self.layouts.append(cuts)
        return Pattern(stock, fill_of(cuts, len(self.pieces)), len(self.layouts) - 1)

    def __call__(self, stock: int, worths: NDArray[np.float64], wanted: Sequence[int]) -> Made:  # noqa: ARG002
        """The best pattern at worths of the pieces, each as often as it fits."""
        if self._best is None or self._at != worths.tobytes():
            self._at = worths.tobytes()
            self._best = table(self.pieces, worths, self.lengths, self.widths)
        room = self.rooms[stock]
        pattern = self.took(stock, cuts_of(self._best, self.pieces, room))
        return Made(pattern, float(self._best.worth[self._best.place(*room)]))


def tables_of(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> Tables | None:
    """Tables, where all that there is to cut can be weighed: no panels, no zones, and not too many cuts that can pay."""
    clear = all(stock.clearings[0].clear and stock.clearings[0].cut is None for stock in stocks)
    if not clear or any(piece.staves for piece in pieces):
        return None
    ways = [way for piece in pieces for way in piece.ways()]
    lengths, widths = (
        points([way[i] for way in ways], max(stock.size[i] for stock in stocks), MOST_POINTS) for i in (0, 1)
    )
    return None if lengths is None or widths is None else Tables(pieces, stocks, lengths, widths)
