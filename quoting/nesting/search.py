"""A search for good ways to cut: pieces are placed in many orders by many rules, and the best order is bettered."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import product
from random import Random
from typing import NamedTuple

from quoting.nesting.pattern import Limit
from quoting.nesting.placing import FITS, SPLITS, Laid, Rule, kinds_of, placed
from quoting.nesting.rectangles import Piece, Rooms, Stock, has_room

MOST_LEADS = 6
"""Kinds of stock, the cheapest for their area, that are each tried before the others."""
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
SEED = 1
MANY, LEAST_SHARE = 45, 0.4
"""Pieces from which on a search looks at fewer regions, for the choice among patterns takes longer; and at which share at least."""


class Way(NamedTuple):
    """An order of pieces, stock by preference (its kind, and the way it is sawn clear), and a rule."""

    order: tuple[int, ...]
    preferred: tuple[tuple[int, int], ...]
    rule: Rule


def starts(pieces: Sequence[Piece], stocks: Sequence[Stock], rooms: Rooms) -> Iterator[Way]:
    """Orders that have proved their worth, with every rule."""
    sizes = [length * width for length, width in (stock.size for stock in stocks)]
    ways = [(s, way) for s, stock in enumerate(stocks) for way in range(len(stock.clearings))]
    price = [stock.offer.price for stock in stocks]
    by_area = tuple(sorted(ways, key=lambda one: price[one[0]] / sizes[one[0]]))
    large = tuple(sorted(ways, key=lambda one: (price[one[0]] > 0, -sizes[one[0]])))
    cheap = tuple(sorted(ways, key=lambda one: price[one[0]]))
    leads = [
        tuple(sorted(ways, key=lambda one: (price[one[0]] > 0, one[0] != lead, by_area.index(one))))
        for lead in dict.fromkeys(stock for stock, _ in by_area if price[stock])
    ]
    free = _fit_what_is_free(pieces, stocks, rooms)
    for preferred, sort, rule in product(
        dict.fromkeys((by_area, large, cheap, *leads[:MOST_LEADS])), SORTS, RULES
    ):
        kinds = sorted(range(len(pieces)), key=lambda i: (i not in free, sort(pieces[i])))
        yield Way(tuple(i for i in kinds for _ in range(pieces[i].number)), preferred, rule)


def _fit_what_is_free(pieces: Sequence[Piece], stocks: Sequence[Stock], rooms: Rooms) -> set[int]:
    """Kinds of pieces that stock which costs nothing has room for: placed first, they come from it."""
    free = (ways for stock, ways in zip(stocks, rooms, strict=True) if not stock.offer.price)
    clear = [room for ways in free for way in ways for room in way]
    return {i for i, piece in enumerate(pieces) if any(has_room(room, piece) for room in clear)}


def moved(way: Way, laid: Sequence[Laid], chance: Random) -> Way:
    """The same with a few pieces elsewhere in the order, now and then by another rule or from another stock first."""
    order = list(way.order)
    if chance.random() < EMPTIEST_FIRST:
        emptiest = min(laid, key=filled)
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


def filled(laid: Laid) -> int:
    """The area of a stock that its pieces take, with their kerf."""
    return sum(step.length * step.width for step in laid.steps)


class At(NamedTuple):
    """Where a search stands, and goes on from."""

    judged: tuple[int, int, int]
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
        counts = Counter(step.piece for step in laid.steps)
        return tuple(counts[i] for i in range(len(self.pieces)))

    def _judge(self, laid: Sequence[Laid]) -> tuple[int, int, int]:
        """Price; at the same price, more in stock that costs nothing is better, and then stock filled unevenly: the emptiest may
        be saved next.
        """
        price = sum(self.stocks[one.stock].offer.price for one in laid)
        free = sum(filled(one) for one in laid if not self.stocks[one.stock].offer.price)
        return price, -free, -sum(filled(one) ** 2 for one in laid)
