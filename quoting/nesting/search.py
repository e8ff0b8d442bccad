"""A search for good ways to cut: pieces are placed in many orders by many rules, and the best order is bettered."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING, NamedTuple

from quoting.nesting.orders import filled, moved, starts
from quoting.nesting.placing import kinds_of, placed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.nesting.orders import Way
    from quoting.nesting.pattern import Limit
    from quoting.nesting.placing import Laid, Stock
    from quoting.nesting.rectangles import Piece

SEED = 1
MANY, LEAST_SHARE = 45, 0.4
"""Pieces from which on a search looks at fewer regions, for the choice among patterns takes longer; and at which share at least."""


Judged = tuple[int, int, int]


class At(NamedTuple):
    """Where a search stands, and goes on from."""

    judged: Judged
    way: Way
    laid: list[Laid]


class Found(NamedTuple):
    """Stock filled with all the pieces, and what it costs [minor units of money]; then what else is judged, less being better: at
    one price fewer staves are.
    """

    laid: list[Laid]
    price: int
    free: int
    pieces: int
    uneven: int


class Search:
    """Goes on from the best way so far. `met` holds every way of filling a stock that was on the way there."""

    def __init__(self, pieces: Sequence[Piece], stocks: Sequence[Stock]) -> None:
        self.pieces, self.stocks = pieces, stocks
        self.met: dict[tuple[int, tuple[int, ...]], Laid] = {}
        self.best: Found | None = None
        self._kinds = kinds_of(pieces)
        self._rooms = [[stock.rooms(way) for way in range(len(stock.clearings))] for stock in stocks]
        self._chance = Random(SEED)
        self._at: At | None = None

    def run(self, limit: Limit, bound: int) -> Found | None:
        """The best way within a limit, or at the bound; None where the stock was never enough."""
        looked = 0
        many = sum(piece.number for piece in self.pieces)
        patience = min(limit.in_vain, limit.in_vain_each * many)
        regions = limit.regions * max(min(MANY / many, 1.0), LEAST_SHARE)
        free = any(not stock.offer.price for stock in self.stocks)
        begun = sum(1 for _ in starts(self.pieces, self.stocks, self._rooms)) if free else 0
        for number, way in enumerate(self._ways(patience), start=1):
            looked += self._tried(way)
            done = self.best is not None and self.best.price <= bound and number >= begun
            if done or looked > regions or (self.best is not None and limit.halted()):
                break
        return self.best

    def _ways(self, patience: int) -> Iterator[Way]:
        """First the starts; then on from the best of those that open each kind of stock first, the best of them before the others."""
        leads: dict[int, At] = {}
        for way in starts(self.pieces, self.stocks, self._rooms):
            self._at = None
            yield way
            lead = next((s for s, _ in way.preferred if self.stocks[s].offer.price), -1)
            if self._at is not None and (lead not in leads or self._at.judged < leads[lead].judged):
                leads[lead] = self._at
        for at in sorted(leads.values(), key=lambda one: one.judged):
            self._at, in_vain = at, 0
            while in_vain <= (patience if len(leads) == 1 else patience // 2):
                price = self._at.judged[0]
                yield moved(self._at.way, self._at.laid, self._chance)
                in_vain = in_vain + 1 if self._at.judged[0] == price else 0

    def _tried(self, way: Way) -> int:
        laid, looked = placed(way.order, self._kinds, self.stocks, self._rooms, way.preferred, way.rule)
        if laid is None:
            return looked
        judged = self._judge(laid)
        if self._at is None or judged <= self._at.judged:
            self._at = At(judged, way, laid)
        best = self.best
        if best is None or judged <= (best.price, best.free, best.uneven):
            for one in laid:
                self.met.setdefault((one.stock, self.fill(one)), one)
        price, free, uneven = judged
        found = Found(laid, price, free, sum(len(one.steps) for one in laid), uneven)
        if best is None or found[1:] <= best[1:]:
            self.best = found
        return looked

    def fill(self, laid: Laid) -> tuple[int, ...]:
        """Pieces of every kind in a stock."""
        found = [0] * len(self.pieces)
        for step in laid.steps:
            found[step.piece] += 1
        return tuple(found)

    def _judge(self, laid: Sequence[Laid]) -> Judged:
        """Price; at the same price, more in stock that costs nothing is better, and then stock filled unevenly: the emptiest may
        be saved next.
        """
        price = sum(self.stocks[one.stock].offer.price for one in laid)
        free = sum(filled(one) for one in laid if not self.stocks[one.stock].offer.price)
        return price, -free, -sum(filled(one) ** 2 for one in laid)
