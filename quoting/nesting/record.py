"""The record of a cut plan: which stock is cut, where each piece lies on it, and in which order the saw goes."""

from typing import NamedTuple


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
