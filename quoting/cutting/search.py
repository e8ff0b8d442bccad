"""A search for good ways to cut: pieces are placed in many orders by many rules, and the best order is bettered."""

from __future__ import annotations

from itertools import product
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from quoting.cutting.placing import FITS, SPLITS, Rule, placed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from quoting.cutting.limit import Limit
    from quoting.cutting.placing import Laid, Stock
    from quoting.cutting.rectangles import Piece

SEED = 1
RULES = [Rule(fit, split) for fit, split in product(FITS, SPLITS)]
SORTS: tuple[Callable[[Piece], tuple[int, ...]], ...] = (
    lambda piece: (-piece.area,),
    lambda piece: (-max(piece.length, piece.width), -min(piece.length, piece.width)),
    lambda piece: (-piece.length, -piece.width),
    lambda piece: (-piece.width, -piece.length),
    lambda piece: (-piece.length - piece.width,),
)
EMPTIEST_FIRST, OTHER_RULE, OTHER_STOCK = 0.3, 0.2, 0.3
"""How often a move begins with the pieces of the emptiest stock, takes another rule, and another stock first."""


class Way(NamedTuple):
    """An order of pieces, stock by preference (its kind, and the way it is sawn clear), and a rule."""

    order: tuple[int, ...]
    preferred: tuple[tuple[int, int], ...]
    rule: Rule


class Found(NamedTuple):
    """Stock filled with all the pieces, and what it costs [minor units of money]."""

    laid: list[Laid]
    price: int


class Search:
    """Goes on from the best way so far. `met` holds every way of filling a stock that was on the way there."""

    def __init__(self, pieces: Sequence[Piece], stocks: Sequence[Stock]) -> None:
        self.pieces, self.stocks = pieces, stocks
        self.met: dict[tuple[int, tuple[int, ...]], Laid] = {}
        self.best: Found | None = None
        self._rooms = [[stock.rooms(way) for way in range(len(stock.clearings))] for stock in stocks]
        self._chance = Random(SEED)
        self._judged: tuple[int, int] = (0, 0)
        self._way: Way | None = None

    def run(self, limit: Limit, bound: int) -> Found | None:
        """The best way within a limit, or at the bound; None where the stock was never enough."""
        looked, in_vain, price = 0, 0, None
        for way in self._ways():
            looked += self._tried(way)
            in_vain += 1
            if self.best is not None and self.best.price != price:
                price, in_vain = self.best.price, 0
            done = price is not None and price <= bound
            if done or looked > limit.regions or in_vain > limit.in_vain or limit.halted():
                break
        return self.best

    def _ways(self) -> Iterator[Way]:
        yield from self._starts()
        while self._way is not None and self.best is not None:
            yield self._moved(self._way, self.best.laid)

    def _tried(self, way: Way) -> int:
        laid, looked = placed(way.order, self.pieces, self.stocks, self._rooms, way.preferred, way.rule)
        if laid is not None and (self.best is None or self._judge(laid) <= self._judged):
            self._judged, self._way = self._judge(laid), way
            self.best = Found(laid, self._judged[0])
            for one in laid:
                self.met.setdefault((one.stock, self.fill(one)), one)
        return looked

    def fill(self, laid: Laid) -> tuple[int, ...]:
        """Pieces of every kind in a stock."""
        found = [0] * len(self.pieces)
        for step in laid.steps:
            found[step.piece] += 1
        return tuple(found)

    def _judge(self, laid: Sequence[Laid]) -> tuple[int, int]:
        """Price; and at the same price, stock filled unevenly is better: the emptiest may be saved next."""
        price = sum(self.stocks[one.stock].offer.price for one in laid)
        return price, -sum(_filled(one) ** 2 for one in laid)

    def _starts(self) -> Iterator[Way]:
        """Orders that have proved their worth, with every rule."""
        sizes = [stock.clearings[0].region.length * stock.clearings[0].region.width for stock in self.stocks]
        ways = [(s, way) for s, stock in enumerate(self.stocks) for way in range(len(stock.clearings))]
        by_price = tuple(sorted(ways, key=lambda one: self.stocks[one[0]].offer.price / sizes[one[0]]))
        large = tuple(sorted(ways, key=lambda one: -sizes[one[0]]))
        for preferred, sort, rule in product(dict.fromkeys((by_price, large)), SORTS, RULES):
            kinds = sorted(range(len(self.pieces)), key=lambda i: sort(self.pieces[i]))
            yield Way(tuple(i for i in kinds for _ in range(self.pieces[i].number)), preferred, rule)

    def _moved(self, way: Way, laid: Sequence[Laid]) -> Way:
        """The same with a few pieces elsewhere in the order, now and then by another rule or from another stock first."""
        chance, order = self._chance, list(way.order)
        if chance.random() < EMPTIEST_FIRST:
            emptiest = min(laid, key=_filled)
            for piece in dict.fromkeys(step.piece for step in emptiest.steps):
                order.remove(piece)
                order.insert(chance.randrange(len(order) + 1) // 2, piece)
        for _ in range(chance.choice((1, 1, 2, 3, 5))):
            i, j = chance.randrange(len(order)), chance.randrange(len(order))
            if chance.random() < 0.5:
                order[i], order[j] = order[j], order[i]
            else:
                order.insert(j, order.pop(i))
        rule = chance.choice(RULES) if chance.random() < OTHER_RULE else way.rule
        preferred = list(way.preferred)
        if len(preferred) > 1 and chance.random() < OTHER_STOCK:
            preferred.insert(0, preferred.pop(chance.randrange(len(preferred))))
        return Way(tuple(order), tuple(preferred), rule)


def _filled(laid: Laid) -> int:
    return sum(step.length * step.width for step in laid.steps)
