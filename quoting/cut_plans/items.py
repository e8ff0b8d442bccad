"""What is cut of each item, and from what: the blanks of all parts that are bought, what shapes leave of theirs, and the stock there is."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, product
from math import prod
from typing import NamedTuple

from quoting.costing.rates import purchase_factor
from quoting.errors import Problem
from quoting.job.brief import Brief
from quoting.job.stock import StockRow
from quoting.nesting.pattern import ticks
from quoting.takeoff.stock import Blanks, CutGroup, Item
from quoting.trades.parts import parts, several
from quoting.trades.registry import trades
from quoting.values import YieldKind, key

MOST_PAIRINGS, SHARES = 36, 8
"""Ways of putting shapes in pairs that are planned; where there are more, so many steps from none to all, and all of one part."""

SAME_M = 1e-6
"""Rough thicknesses that differ by less are the same."""


def groups(brief: Brief) -> list[CutGroup]:
    """Parts by the item that they are cut from; a part that is given, or cannot be reckoned, is in none."""
    found: dict[tuple[str, Item], list[CutGroup]] = defaultdict(list)
    for one in _each(brief):
        stock = one.stock._replace(name=key(one.stock.name), rough_m=round(one.stock.rough_m, 6))
        found[one.trade, stock].append(one)
    return [
        those[0]._replace(
            kerf_m=max(one.kerf_m for one in those),
            blanks=tuple(one.blanks[0] for one in those),
            sizes=tuple(dict.fromkeys(size for one in those for size in one.sizes)),
            as_used=all(one.as_used for one in those),
            weights=frozenset().union(*(one.weights for one in those)),
        )
        for those in found.values()
    ]


def _each(brief: Brief) -> Iterator[CutGroup]:
    """A group of every part by itself."""
    for trade, given in parts(brief.job):
        one = trades()[trade]
        if one.stock and given.supplied == "bought":
            part, _ = several(trade, given, brief.job.piece.quantity)
            if (found := one.named(one.stock)(part, brief.shop, brief.tables)) is not None:
                yield found


def pairings(group: CutGroup) -> tuple[list[CutGroup], bool]:
    """The group with none of its shapes in pairs, then with more and more of them: two to a blank. True beside it where these
    are all the ways that there are.
    """
    most = [one.number // 2 if one.two_m else 0 for one in group.blanks]
    every = prod(many + 1 for many in most) <= MOST_PAIRINGS
    counts = product(*(range(many + 1) for many in most)) if every else _evenly(most)
    return [_paired(group, pairs) for pairs in counts], every


def _evenly(most: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Shares of the pairs that are possible, the same of every part; then all that are possible of one part alone."""
    shares = (tuple(many * i // SHARES for many in most) for i in range(SHARES + 1))
    alone = (tuple(many if i == j else 0 for i, many in enumerate(most)) for j in range(len(most)))
    return islice(dict.fromkeys((*shares, *alone)), MOST_PAIRINGS)


def _paired(group: CutGroup, pairs: Sequence[int]) -> CutGroup:
    """Blanks for pairs, and for what is left of each part alone."""
    found: list[Blanks] = []
    for one, many in zip(group.blanks, pairs, strict=True):
        if many:
            found.append(one._replace(width_m=one.two_m, number=many, two=True))
        if left := one.number - 2 * many:
            found.append(one._replace(number=left, net=0.0 if many else one.net))
    return group._replace(blanks=tuple(found))


def halves(group: CutGroup) -> CutGroup:
    """A blank of half a pair for every shape that may lie in one: no way of pairing takes less."""
    return group._replace(
        blanks=tuple(
            one._replace(width_m=(one.two_m - group.kerf_m) / 2) if one.two_m else one for one in group.blanks
        )
    )


class Shape(NamedTuple):
    """A shaped part by its path, and the share of its blanks that is thrown away."""

    path: str
    part: str
    left: float


def shapes(brief: Brief) -> Iterator[Shape]:
    """Every shaped part that is planned; a blank of two shapes counts both of them."""
    blanks: dict[str, float] = {}
    for plan in brief.plans:
        for stock in plan.stocks:
            for piece in stock.pieces:
                area = piece.length_m * piece.width_m * stock.number
                blanks[piece.path] = blanks.get(piece.path, 0.0) + area
    for trade, given in parts(brief.job):
        path = f"{trade}.{given.id}"
        if trades()[trade].shaped and given.shape_area is not None and path in blanks:
            part, _ = several(trade, given, brief.job.piece.quantity)
            number = part.quantity * getattr(part, "layers", 1)
            yield Shape(path, part.part, 1 - number * part.shape_area / blanks[path])


class Supply(NamedTuple):
    """Stock of one size: what one of it amounts to, in every dimension that it may be priced in, and what one costs whole."""

    row: StockRow
    kind: YieldKind
    amounts: Mapping[str, float]
    price: float


def supplies(group: CutGroup, brief: Brief, problems: list[Problem]) -> list[Supply]:
    """Stock of an item: what is listed, and the sizes that its parts name; none where there is neither, and nothing is planned.
    `problems` grows by stock that has no price.
    """
    listed = [row for row in brief.stock if matches(row, group)]
    if not listed and not group.sizes:
        return []
    own = [StockRow(group.stock.kind, group.item, 0.0, *size) for size in group.sizes]
    sizes = {_size(*size) for size in group.sizes}
    book = brief.book.get(key(group.item), ())
    dimension = book[0].unit.dimension if book else ""
    rate = min((price.price / price.unit.factor for price in book), default=0.0) * purchase_factor(brief.shop)
    found = []
    for row in (*listed, *own):
        amounts = group.amounts(row.length_m, row.width_m, row.rough_m)
        bought = amounts.get(dimension, 0.0)
        if row.price is not None:
            found.append(Supply(row, "rack" if row.supplied == "rack" else "yard", amounts, row.price))
        elif row.supplied == "rack":  # worth the shop's share of what as much costs new
            if dimension == "count" and group.sizes:
                length, width = group.sizes[0]
                bought = area(row) / (length * (width or 1.0))
            found.append(Supply(row, "rack", amounts, brief.shop.cut.offcut_worth * rate * bought))
        elif not book:  # a problem where its needs are priced; the plan takes the least of it
            found.append(Supply(row, "", amounts, area(row)))
        elif dimension != "count" or _size(row.length_m, row.width_m) in sizes:
            found.append(Supply(row, "", amounts, rate * bought))
        else:
            words = f'found none, and "{group.item}" is priced by the piece in prices.csv'
            problem = Problem.of(
                f"{row.path}.price".lstrip("."), words, "write the price of one", "no_price", item=group.item
            )
            problems.append(problem.at(row.file, row.line) if row.file else problem)
    return found


def _size(length_m: float, width_m: float) -> tuple[int, ...]:
    """A size whichever way it is written: what is sold by the piece costs the same."""
    return tuple(sorted((ticks(length_m), ticks(width_m))))


def matches(row: StockRow, group: CutGroup) -> bool:
    """True where parts of the group can be cut from the row."""
    stock = group.stock
    same = row.kind == stock.kind and key(row.name) == key(stock.name)
    return same and abs(row.rough_m - stock.rough_m) < SAME_M


def has_no_size(row: StockRow) -> bool:
    """True where a length, or a width, is 0: a problem of the row it is written in."""
    return not row.length_m or (row.kind != "bar" and not row.width_m)


def area(row: StockRow) -> float:
    """What a stock measures [m2, or m of a bar]."""
    return row.length_m * (row.width_m or 1.0)
