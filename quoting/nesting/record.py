"""The record of a cut plan: which stock is cut, where each piece lies on it, and in which order the saw goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.nesting.rectangles import Cut, Node, Region, leaves, parted

if TYPE_CHECKING:
    from quoting.nesting.placing import Laid, Step, Stock


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
    not in the price book.
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


def drawn(laid: Laid, stock: Stock) -> Node:
    """A stock as a tree of cuts: first those that saw it clear, then those of every piece. Regions carry their kerf."""
    clearing = stock.clearings[laid.way]
    fields = [one.region for one in leaves(clearing) if one.clear]
    steps = {step.region: step for step in laid.steps}
    rests = {step.region: len(fields) + 2 * n for n, step in enumerate(laid.steps)}

    def filled(region: Region, id: int) -> Node:
        step = steps.get(id)
        if step is None:
            return Node(region)
        x, y, length, width = region
        right, above = x + step.length, y + step.width
        if step.across:
            first, strip = Region(right, y, length - step.length, width), Region(x, y, step.length, width)
            second = Region(x, above, step.length, width - step.width)
        else:
            first, strip = Region(x, above, length, width - step.width), Region(x, y, length, step.width)
            second = Region(right, y, length - step.length, step.width)
        piece = Node(
            Region(x, y, step.length, step.width), piece=step.piece, turned=step.turned, panel=step.panel
        )
        kept = parted(
            strip, not step.across, _at(step, not step.across), piece, filled(second, rests[id] + 1)
        )
        return parted(region, step.across, _at(step, step.across), kept, filled(first, rests[id]))

    fresh = iter(enumerate(fields))

    def grown(node: Node) -> Node:
        if node.cut is not None:
            across, at, first, second = node.cut
            return Node(node.region, Cut(across, at, grown(first), grown(second)))
        if not node.clear:
            return node
        id, region = next(fresh)
        return filled(region, id)

    return grown(clearing)


def _at(step: Step, across: bool) -> int:
    return step.length if across else step.width
