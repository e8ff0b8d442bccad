"""What is cut of each item: the blanks of all parts that are bought, and what shapes leave of theirs."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import islice, product
from math import prod
from typing import NamedTuple

from quoting.job.brief import Brief
from quoting.takeoff.stock import Blanks, CutGroup, Item
from quoting.trades.parts import parts, several
from quoting.trades.registry import trades
from quoting.values import key

MOST_PAIRINGS, SHARES = 36, 8
"""Ways of putting shapes in pairs that are planned; where there are more, so many steps from none to all, and all of one part."""


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
            weights=frozenset(round(one.mass_kg_m, 6) for one in those),
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
