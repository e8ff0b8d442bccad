"""Sheets and boards cut into rectangles by cuts right through: least price, with prices that no plan can be below."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import highspy
import numpy as np
from numpy.typing import NDArray

from quoting.nesting.best_cut import Table, cuts_of, points, table, worth_of
from quoting.nesting.columns import Made, entries, quiet_solver, rounded_bound
from quoting.nesting.pattern import USUAL, Limit, Pattern, Use
from quoting.nesting.placing import Stock, drawn
from quoting.nesting.rectangles import Node, Piece, fill_of, flat, with_only
from quoting.nesting.search import Search
from quoting.nesting.whole import packed

BRANCHES = 500

MOST_POINTS = 200
"""Points a side of a table of best worths: one of that size is filled in a tenth of a second."""


def area_bound(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> int | None:
    """The least price of whole stocks whose area holds that of the pieces; and, of the stocks that are long or wide enough, that of
    all pieces which are longer, or wider, than some size. None where no stocks hold them: then there is no plan at all.

    Continuous lower bound (Martello and Vigo, Exact solution of the two-dimensional finite bin packing problem, Management
    Science 44 (1998)), taken over classes of pieces all at once, in whole stocks.
    """
    offers = [stock.offer for stock in stocks]
    solver = quiet_solver()
    solver.setOptionValue("mip_max_nodes", BRANCHES)
    solver.setOptionValue("mip_rel_gap", 0.0)
    for offer in offers:
        most = highspy.kHighsInf if offer.most is None else float(offer.most)
        solver.addCol(float(offer.price), 0.0, most, *entries([], []))
    solver.changeColsIntegrality(
        len(offers),
        np.arange(len(offers), dtype=np.int32),
        np.full(len(offers), highspy.HighsVarType.kInteger),
    )
    for needed, holds in _classes(pieces, stocks):
        columns = [j for j, held in enumerate(holds) if held]
        solver.addRow(1.0, highspy.kHighsInf, *entries(columns, [holds[j] / needed for j in columns]))
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    return rounded_bound(float(solver.getInfo().mip_dual_bound), offers)


def _classes(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> Iterator[tuple[int, list[int]]]:
    """Area of the pieces of a class, and what of it each stock can hold."""
    sides = [(piece.length, piece.staves.least if piece.staves else piece.width) for piece in pieces]
    rooms = [stock.size for stock in stocks]
    for side in (max, min):
        for limit in sorted({side(one) for one in sides}):
            mine = [i for i, one in enumerate(sides) if side(one) >= limit]
            holds = [room[0] * room[1] if side(room) >= limit else 0 for room in rooms]
            yield sum(pieces[i].area * pieces[i].number for i in mine), holds


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
    tables = tables_of(pieces, stocks)
    if found.price > bound and tables is not None and not limit.halted():
        met = [tables.took(laid.stock, drawn(laid, stocks[laid.stock])) for laid in search.met.values()]
        start = [tables.took(laid.stock, drawn(laid, stocks[laid.stock])) for laid in found.laid]
        offers = [stock.offer for stock in stocks]
        uses = tuple(Use(pattern, times) for pattern, times in Counter(start).items())
        best = packed([piece.number for piece in pieces], offers, tables, uses, limit, met)
        assert best is not None  # it never loses its start
        sawn = tuple(
            Sawn(
                use.pattern.stock, use.times, with_only(tables.layouts[use.pattern.layout], use.pattern.fill)
            )
            for use in best.uses
        )
        return SawPlan(sawn, best.price, max(best.bound, min(bound, best.price)))
    drawings = [(laid.stock, drawn(laid, stocks[laid.stock])) for laid in found.laid]
    same = Counter((stock, flat(node)) for stock, node in drawings)
    first = {(stock, flat(node)): node for stock, node in reversed(drawings)}
    sawn = tuple(Sawn(one[0], times, first[one]) for one, times in same.items())
    return SawPlan(sawn, found.price, min(bound, found.price))


class Tables:
    """Best patterns of stock by tables of best worths. `layouts` has the cuts of every pattern, by its index."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        stocks: Sequence[Stock],
        lengths: NDArray[np.int64],
        widths: NDArray[np.int64],
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
        pattern = self.took(stock, cuts_of(self._best, self.pieces, self.rooms[stock]))
        return Made(pattern, worth_of(self._best, self.rooms[stock]))


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
