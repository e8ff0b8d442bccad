"""Orders in which pieces are placed: those a search begins with, and a step from one to another."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, NamedTuple

from quoting.nesting.placing import SPLITS, Rule
from quoting.nesting.regions import FITS, has_room

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from random import Random

    from quoting.nesting.placing import Laid, Stock
    from quoting.nesting.rectangles import Piece
    from quoting.nesting.regions import Size

    Rooms = Sequence[Sequence[Sequence[Size]]]  # the clear regions of every stock, by way

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


class Way(NamedTuple):
    """An order of pieces, stock by preference (its kind, and the way it is sawn clear), and a rule."""

    order: tuple[int, ...]
    preferred: tuple[tuple[int, int], ...]
    rule: Rule


def starts(pieces: Sequence[Piece], stocks: Sequence[Stock], rooms: Rooms) -> Iterator[Way]:
    """Orders that have proved their worth, with every rule."""
    sizes = [stock.clearings[0].region.length * stock.clearings[0].region.width for stock in stocks]
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
    clear = [
        room
        for stock, ways in zip(stocks, rooms, strict=True)
        if not stock.offer.price
        for way in ways
        for room in way
    ]
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
