"""Stock that parts are cut from: what is asked of it, the record of the plan that cuts it, and the needs that come of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem
from quoting.takeoff.needs import Doubt, Need, doubt
from quoting.takeoff.numbers import TOLERANCE, total
from quoting.values import Basis, Num, StockKind, Yield

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.hardwood.record import Hardwood
    from quoting.trades.sheet.record import Sheet


class Blanks(NamedTuple):
    """Blanks of one part. `net` is all of them as take-off counts them [m3 of timber, m2 of sheets, m of bars]. A panel is glued up in
    width from `staves`: the narrowest, the widest, and what each loses to its joint [m]. `two_m` is the width of a blank that holds two
    of the shape, interlocked, where that saves some; `two` where it is such a blank. `or_else` is what a maker may write where no
    stock is large enough.
    """

    path: str
    part: str
    length_m: float
    width_m: float
    number: int
    net: float
    turns: bool = False
    staves: tuple[float, float, float] | None = None
    two_m: float = 0.0
    two: bool = False
    or_else: str = ""


class Item(NamedTuple):
    """An item that parts are cut from, as its stock is named: kind, species or item, rough thickness (none but of boards) [m]."""

    kind: StockKind
    name: str
    rough_m: float


class CutGroup(NamedTuple):
    """Parts that are cut from one item. `amounts` says what stock of a length, a width and a rough thickness [m] comes to, in every
    dimension that it may be priced in; `trim` is what is sawn off each end and each edge of new stock before anything else [m].

    `sizes` are those of the sheets or bars that the parts name; `as_used` where each of them asks to be charged by its area, or its
    length. `weights` are those of all bars of the group [kg/m].
    """

    trade: str
    item: str
    stock: Item
    kerf_m: float
    blanks: tuple[Blanks, ...]
    amounts: Callable[[float, float, float], dict[str, float]]
    trim: tuple[float, float] = (0.0, 0.0)
    sizes: tuple[tuple[float, float], ...] = ()
    as_used: bool = False
    weights: frozenset[float] = frozenset()


class SawnPiece(NamedTuple):
    """A blank on its stock, without kerf. `path` is its part; a stave names its panel, the first of a part is 1.

    `two` where it holds two shapes of the part, interlocked; `turned` where it lies across the stock, as one that `turns` may.
    """

    path: str
    part: str
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    turned: bool = False
    panel: int = 0
    two: bool = False
    turns: bool = False

    @property
    def ways(self) -> tuple[tuple[float, float], ...]:
        """Length and width along the grain of the stock, in every way it may lie [m]."""
        one = (self.length_m, self.width_m)
        return (one, one[::-1]) if self.turns else (one,)


class Offcut(NamedTuple):
    """What is left of a stock; worth something where it is large enough to be kept."""

    x_m: float
    y_m: float
    length_m: float
    width_m: float
    kept: bool
    worth: float


class SawStep(NamedTuple):
    """One cut right through what an earlier cut left: across the grain at a length, or along it (a rip) at a width.

    `of` is the number of that earlier cut, 0 for the stock; `length_m` and `width_m` are of what is cut. `gives` are the pieces that are
    to size after it, by their places among those of the stock.
    """

    of: int
    across: bool
    at_m: float
    length_m: float
    width_m: float
    gives: tuple[int, ...]


class SawnStock(NamedTuple):
    """Stock of one kind that is cut in one way, `number` of them. `price` is what one costs whole, `used` the share that is charged.

    `end_m` and `edge_m` are sawn off its ends and its edges before anything else; `zones` (x, y, length, width) go into no piece. `own_price` where its price stands with it,
    not in the price file.
    """

    where: str
    supplied: str
    number: int
    length_m: float
    width_m: float
    price: float
    used: float
    end_m: float
    edge_m: float
    steps: tuple[SawStep, ...]
    pieces: tuple[SawnPiece, ...]
    offcuts: tuple[Offcut, ...]
    zones: tuple[tuple[float, float, float, float], ...] = ()
    own_price: bool = False


class CutPlan(NamedTuple):
    """The plan of all parts that are cut from one item; `kind` is board, sheet or bar.

    `needed` and `taken` are the blanks and the stock that is cut [m2, or m of bars]. `bought` is what is paid for stock, and no plan
    pays less than `bound`; `charged` is what of it, and of the rack, this job bears.
    """

    trade: str
    item: str
    kind: str
    kerf_m: float
    stocks: tuple[SawnStock, ...]
    needed: float
    taken: float
    bought: float
    charged: float
    bound: float
    ended_early: bool = False

    @property
    def gap(self) -> float:
        """How much less than this plan another can pay, at most [share of what is bought]."""
        return 1 - self.bound / self.bought if self.bought else 0.0

    @property
    def waste(self) -> float:
        """What of the stock that is cut is in no blank [share]."""
        return 1 - self.needed / self.taken

    @property
    def kept(self) -> float:
        """What the offcuts that are kept are worth [money]."""
        return sum(one.number * left.worth for one in self.stocks for left in one.offcuts)


def larger_shape(path: str, part: Hardwood | Sheet) -> Iterator[Problem]:
    """A shape lies within its rectangle."""
    if part.shape_area is not None and part.shape_area > part.length * part.width * (1 + TOLERANCE):
        wanted = "write the area of the finished outline"
        yield Problem.of(f"{path}.shape_area", "found more than length x width", wanted, "too_large")


def scrap(path: str, part: Hardwood | Sheet, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """A shape that leaves more of its rectangle than the shop likes; where a cut plan has blanks for it, they are judged."""
    if part.shape_area is not None and path not in tables.yields:
        yield from left_over(path, 1 - part.shape_area / (part.length * part.width), shop)


def left_over(path: str, left: float, shop: Shop) -> Iterator[Doubt]:
    """A share of its blanks that a shape leaves, where the shop likes no more."""
    if left > shop.warnings.scrap_share:
        words = "the shape leaves {left:share} of its blank (limit {limit:share})"
        yield doubt("scrap", f"{path}.shape_area", words, left=left, limit=shop.warnings.scrap_share)


def stock_needs(
    need: Need, net: Num, finished: float, measure: str, yields: Sequence[Yield]
) -> tuple[Need, ...]:
    """A need of every kind of stock for `net` of a part, of which `finished` is in the piece; both in the measure of `measure`.

    `need` says what all of them have in common. Its words go on with those of the yield.
    """
    taken = net * total(one.amounts[measure] for one in yields)
    return tuple(_need(replace(need, kept=finished / taken), net, one) for one in yields)


def _need(need: Need, net: Num, one: Yield) -> Need:
    words = Basis(f"{need.basis.words} {one.words.words}", {**need.basis.numbers, **one.words.numbers})
    amounts = {name: net * each for name, each in one.amounts.items()}
    need = replace(need, amounts=amounts, basis=words, ordered=one.ordered)
    if not one.kind:
        return need
    return replace(
        need,
        id=f"{need.id.rpartition('.')[0]}.{one.kind}",
        price=net * one.price if one.price is not None else None,
        supplied="rack" if one.kind == "rack" else need.supplied,
        source="cut plan",
        supplier=one.supplier,
        lead_days=one.lead_days,
    )
