"""What is cut of each item: the blanks of all parts that are bought, and what shapes leave of theirs."""

from __future__ import annotations

from collections import defaultdict
from itertools import islice, product
from math import prod
from typing import TYPE_CHECKING, NamedTuple

from quoting.job.outline import SHAPED, interlocked_m
from quoting.takeoff import metal, sheet
from quoting.takeoff.boards import blank, charged_thickness_m, chosen_rough_m, item_name, net_m3
from quoting.takeoff.copies import several
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.job.brief import Brief
    from quoting.job.stock import Kind
    from quoting.job.trades import Hardwood, Metal, Sheet

MOST_PAIRINGS, SHARES = 36, 8
"""Ways of putting shapes in pairs that are planned; where there are more, so many steps from none to all, and all of one part."""


class Blanks(NamedTuple):
    """Blanks of one part. `net` is all of them as take-off counts them [m3 of timber, m2 of sheets, m of bars]; a `panel` is
    glued up in width. `two_m` is the width of a blank that holds two of the shape, interlocked, where that saves some; `two` where it is
    such a blank.
    """

    path: str
    part: str
    length_m: float
    width_m: float
    number: int
    net: float
    turns: bool = False
    panel: bool = False
    two_m: float = 0.0
    two: bool = False


class Item(NamedTuple):
    """An item that parts are cut from, as its stock is named: kind, species or item, rough thickness (none but of boards) [m]."""

    kind: Kind
    name: str
    rough_m: float


class Group(NamedTuple):
    """Parts that are cut from one item. `sizes` are those of the sheets or bars that they name; a bar weighs `mass_kg_m`.

    `as_used` where each of them asks to be charged by its area, or its length. `weights` are those of all bars of the group.
    """

    trade: str
    item: str
    stock: Item
    kerf_m: float
    blanks: tuple[Blanks, ...]
    sizes: tuple[tuple[float, float], ...] = ()
    as_used: bool = False
    mass_kg_m: float = 0.0
    weights: frozenset[float] = frozenset()


def groups(brief: Brief) -> list[Group]:
    """Parts by the item that they are cut from; a part that is given, or cannot be reckoned, is in none."""
    found: dict[tuple[str, Item], list[Group]] = defaultdict(list)
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


def _each(brief: Brief) -> Iterator[Group]:
    """A group of every part by itself."""
    job, copies = brief.job, brief.job.piece.quantity
    for wood in job.hardwood:
        part, _ = several("hardwood", wood, copies)
        if _sound(part, part.width, part.thickness) and chosen_rough_m(part, brief.shop.timber):
            yield _of_boards(part, brief)
    for given in job.sheet:
        part, _ = several("sheet", given, copies)
        if _sound(part, part.width, part.sheet_length, part.sheet_width):
            yield _of_sheets(part, brief)
    for given_bar in job.metal:
        part, _ = several("metal", given_bar, copies)
        if _sound(part, metal.stock_of(part, brief.shop)) and key(part.metal) in brief.tables.metals:
            yield _of_bars(part, brief)


def _sound(part: Hardwood | Sheet | Metal, *sides: float) -> bool:
    return part.supplied == "bought" and all(side > 0 for side in (part.length, *sides))


def _of_boards(part: Hardwood, brief: Brief) -> Group:
    timber = brief.shop.timber
    size = blank(part, timber)
    width = part.width + timber.width_allowance  # a plan chooses its own staves
    charged_m = charged_thickness_m(rough_m=size.thickness_m, timber=timber)
    net = float(net_m3(length_m=size.length_m, width_m=size.width_m, thickness_m=charged_m))
    path, number = f"hardwood.{part.id}", part.quantity * part.layers
    blanks = Blanks(
        path, part.part, size.length_m, width, number, net * number, panel=part.glued_up,
        two_m=0.0 if part.glued_up else _two(part, timber.kerf, width - part.width),
    )  # fmt: skip
    stock = Item("board", part.species, size.thickness_m)
    return Group("hardwood", item_name(part, timber), stock, timber.kerf, (blanks,))


def _of_sheets(part: Sheet, brief: Brief) -> Group:
    net = part.quantity * part.length * part.width
    blanks = Blanks(
        f"sheet.{part.id}", part.part, part.length, part.width, part.quantity, net, turns=not part.grain,
        two_m=_two(part, sheet.kerf_of(part, brief.shop), 0.0),
    )  # fmt: skip
    return Group(
        "sheet", part.item, Item("sheet", part.item, 0.0), sheet.kerf_of(part, brief.shop), (blanks,),
        ((part.sheet_length, part.sheet_width),), part.charge == "area",
    )  # fmt: skip


def _two(part: Hardwood | Sheet, kerf_m: float, allowance_m: float) -> float:
    """Width of a blank for two shapes of a part [m]; 0 where two blanks are no wider."""
    if part.outline is None:
        return 0.0
    width = interlocked_m(part.outline, kerf_m + allowance_m) + allowance_m
    return width if width < 2 * (part.width + allowance_m) + kerf_m else 0.0


def pairings(group: Group) -> tuple[list[Group], bool]:
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


def _paired(group: Group, pairs: Sequence[int]) -> Group:
    """Blanks for pairs, and for what is left of each part alone."""
    found: list[Blanks] = []
    for one, many in zip(group.blanks, pairs, strict=True):
        if many:
            found.append(one._replace(width_m=one.two_m, number=many, two=True))
        if left := one.number - 2 * many:
            found.append(one._replace(number=left, net=0.0 if many else one.net))
    return group._replace(blanks=tuple(found))


def halves(group: Group) -> Group:
    """A blank of half a pair for every shape that may lie in one: no way of pairing takes less."""
    return group._replace(
        blanks=tuple(
            one._replace(width_m=(one.two_m - group.kerf_m) / 2) if one.two_m else one for one in group.blanks
        )
    )


def _of_bars(part: Metal, brief: Brief) -> Group:
    blanks = Blanks(
        f"metal.{part.id}", part.part, part.length, 0.0, part.quantity, part.quantity * part.length
    )
    each = metal.mass_per_length_kg_m(part, brief.tables.metals[key(part.metal)].density_kg_m3)
    return Group(
        "metal", part.item, Item("bar", part.item, 0.0), metal.kerf_of(part, brief.shop), (blanks,),
        ((metal.stock_of(part, brief.shop), 0.0),), part.charge == "cut", each,
    )  # fmt: skip


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
    for trade in SHAPED:
        for given in getattr(brief.job, trade):
            path = f"{trade}.{given.id}"
            if given.shape_area is not None and path in blanks:
                part, _ = several(trade, given, brief.job.piece.quantity)
                number = part.quantity * getattr(part, "layers", 1)
                yield Shape(path, part.part, 1 - number * part.shape_area / blanks[path])
