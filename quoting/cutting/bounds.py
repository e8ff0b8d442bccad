"""Prices that no plan of rectangles can be below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cutting.columns import rounded_bound

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.cutting.pattern import Offer
    from quoting.cutting.placing import Stock
    from quoting.cutting.rectangles import Piece


def area_bound(pieces: Sequence[Piece], stocks: Sequence[Stock]) -> int:
    """The least price of stock whose area holds that of the pieces; and the same of only those pieces that are longer, or
    wider, than some size, with only the stock that is.

    Continuous lower bound (Martello and Vigo, Exact solution of the two-dimensional finite bin packing problem, Management
    Science 44 (1998)), taken over classes of pieces.
    """
    sides = [(piece.length, piece.staves.least if piece.staves else piece.width) for piece in pieces]
    rooms = [stock.clearings[0].region for stock in stocks]
    best = 0.0
    for side in (max, min):
        for limit in {side(one) for one in sides}:
            area = sum(
                piece.area * piece.number
                for piece, one in zip(pieces, sides, strict=True)
                if side(one) >= limit
            )
            fit = [
                (room.length * room.width, stock.offer)
                for room, stock in zip(rooms, stocks, strict=True)
                if side(room.length, room.width) >= limit
            ]
            best = max(best, _cheapest(area, fit))
    return rounded_bound(best, [stock.offer for stock in stocks])


def _cheapest(area: int, stocks: Sequence[tuple[int, Offer]]) -> float:
    """Least price of stock, in parts, that covers an area."""
    price, left = 0.0, float(area)
    for size, offer in sorted(stocks, key=lambda one: one[1].price / one[0]):
        part = left / size if offer.most is None else min(left / size, offer.most)
        price += part * offer.price
        left -= part * size
        if left <= 0:
            break
    return price
