"""Prices that no plan of rectangles can be below."""

from __future__ import annotations

from typing import TYPE_CHECKING

import highspy
import numpy as np

from quoting.cutting.columns import rounded_bound

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.cutting.fits import Size
    from quoting.cutting.placing import Stock
    from quoting.cutting.rectangles import Piece

BRANCHES = 500


def area_bound(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> int | None:
    """The least price of whole stocks whose area holds that of the pieces; and, of the stocks that are long or wide enough, that of
    all pieces which are longer, or wider, than some size. None where no stocks hold them: then there is no plan at all.

    Continuous lower bound (Martello and Vigo, Exact solution of the two-dimensional finite bin packing problem, Management
    Science 44 (1998)), taken over classes of pieces all at once, in whole stocks.
    """
    offers = [stock.offer for stock in stocks]
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_max_nodes", BRANCHES)
    solver.setOptionValue("mip_rel_gap", 0.0)
    none = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
    for offer in offers:
        most = highspy.kHighsInf if offer.most is None else float(offer.most)
        solver.addCol(float(offer.price), 0.0, most, 0, *none)
    solver.changeColsIntegrality(
        len(offers),
        np.arange(len(offers), dtype=np.int32),
        np.full(len(offers), highspy.HighsVarType.kInteger),
    )
    for needed, holds in _classes(pieces, stocks):
        columns = np.flatnonzero(holds).astype(np.int32)
        shares = np.array([holds[j] / needed for j in columns], dtype=np.float64)
        solver.addRow(1.0, highspy.kHighsInf, len(columns), columns, shares)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    return rounded_bound(float(solver.getInfo().mip_dual_bound), offers)


def _classes(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> Iterator[tuple[int, list[int]]]:
    """Area of the pieces of a class, and what of it each stock can hold."""
    sides = [(piece.length, piece.staves.least if piece.staves else piece.width) for piece in pieces]
    rooms: list[Size] = [
        (stock.clearings[0].region.length, stock.clearings[0].region.width) for stock in stocks
    ]
    for side in (max, min):
        for limit in sorted({side(one) for one in sides}):
            mine = [i for i, one in enumerate(sides) if side(one) >= limit]
            holds = [room[0] * room[1] if side(room) >= limit else 0 for room in rooms]
            yield sum(pieces[i].area * pieces[i].number for i in mine), holds
