"""Pieces put one after another into the corners of free regions, each parted from the rest by two cuts right through."""

from collections.abc import Sequence
from typing import NamedTuple

from quoting.nesting.pattern import Offer
from quoting.nesting.rectangles import Cut, Node, Piece, Region, leaves, parted
from quoting.nesting.regions import Size, Way, best_fit, best_stave, has_room

LARGER, SHORTER, ACROSS, RIP = "larger", "shorter", "across", "rip"
SPLITS = (LARGER, SHORTER, ACROSS, RIP)
"""Which of the two cuts comes first: the one that leaves the larger rest whole, the one that leaves the shorter, or always one."""

PUT = 40
"""What it takes to put a piece, in regions looked at."""


class Rule(NamedTuple):
    """How pieces are put: one of `FITS`, one of `SPLITS`."""

    fit: str
    split: str


class Stock(NamedTuple):
    """A kind of stock: what one costs and how many there are, and the ways to saw it clear, each with its clear regions."""

    offer: Offer
    clearings: tuple[Node, ...]

    @property
    def size(self) -> Size:
        """Length and width of all of it, zones included."""
        board = self.clearings[0].region
        return board.length, board.width

    def rooms(self, way: int) -> list[Size]:
        """Length and width of the regions that are clear, in the order of the cuts."""
        return [(one.region.length, one.region.width) for one in leaves(self.clearings[way]) if one.clear]


class Step(NamedTuple):
    """A piece in the corner of a free region, as it lies; its two cuts begin across the grain, or along it. A stave names its panel."""

    region: int
    piece: int
    length: int
    width: int
    turned: bool
    across: bool
    panel: int


class Laid(NamedTuple):
    """One stock that was opened: its kind, the way it was sawn clear, and the steps that filled it."""

    stock: int
    way: int
    steps: list[Step]


class Bench:
    """Stock that is opened as pieces ask for it. Lengths and widths carry their kerf."""

    def __init__(
        self, stocks: Sequence[Stock], rooms: Sequence[Sequence[Sequence[Size]]], rule: Rule, least: Size
    ) -> None:
        self.rooms, self.rule, self.least = rooms, rule, least
        self.there = [stock.offer.most for stock in stocks]
        self.laid: list[Laid] = []
        self.free: list[
            tuple[int, int, int, int]
        ] = []  # length, width, index of the stock that is laid, of its region
        self.regions: list[int] = []  # how many each stock that is laid has had

    def opened(self, piece: Piece, preferred: Sequence[tuple[int, int]]) -> bool:
        """Take the first stock of those preferred, kind and way, that has room for a piece; False where none has."""
        for stock, way in preferred:
            if self.there[stock] != 0 and any(has_room(room, piece) for room in self.rooms[stock][way]):
                if (most := self.there[stock]) is not None:
                    self.there[stock] = most - 1
                rooms = self.rooms[stock][way]
                self.free += [(*room, len(self.laid), i) for i, room in enumerate(rooms)]
                self.laid.append(Laid(stock, way, []))
                self.regions.append(len(rooms))
                return True
        return False

    def put(self, at: int, piece: int, lies: Way, panel: int) -> None:
        """Put a piece into the corner of a free region; what is left of it is free."""
        length, width, laid, region = self.free.pop(at)
        of_length, of_width, turned = lies
        across = _across_first(length, width, of_length, of_width, self.rule.split)
        self.laid[laid].steps.append(Step(region, piece, of_length, of_width, turned, across, panel))
        right, above, next_one = length - of_length, width - of_width, self.regions[laid]
        self.regions[laid] += 2
        least_length, least_width = self.least
        if right >= least_length and (wide := width if across else of_width) >= least_width:
            self.free.append((right, wide, laid, next_one if across else next_one + 1))
        if above >= least_width and (long := of_length if across else length) >= least_length:
            self.free.append((long, above, laid, next_one + 1 if across else next_one))


class Kinds(NamedTuple):
    """Pieces of every kind, the ways they may lie, and the sides below which a region has room for none."""

    pieces: Sequence[Piece]
    ways: Sequence[tuple[Way, ...]]
    least: Size


def kinds_of(pieces: Sequence[Piece]) -> Kinds:
    """What placing asks of pieces again and again."""
    return Kinds(pieces, [piece.ways() for piece in pieces], least_sides(pieces))


def placed(
    order: Sequence[int], kinds: Kinds, stocks: Sequence[Stock], rooms: Sequence[Sequence[Sequence[Size]]],
    preferred: Sequence[tuple[int, int]], rule: Rule,
) -> tuple[list[Laid] | None, int]:  # fmt: skip
    """Stocks filled with pieces in an order, each where it fits best among those open; None where the stock is not enough. And
    how many regions were looked at.

    `order` holds kinds of pieces, once for each piece; `rooms` the clear regions of every stock by way. A stock is opened
    where no open one has room.
    """
    pieces, ways, least = kinds
    bench = Bench(stocks, rooms, rule, least)
    free, fit = bench.free, rule.fit
    looked = 0
    panels = dict.fromkeys((i for i, piece in enumerate(pieces) if piece.staves), 0)
    for i in order:
        if i not in panels:
            looked += len(free) + PUT
            at, lies = best_fit(free, ways[i], fit)
            if at < 0:
                if not bench.opened(pieces[i], preferred):
                    return None, looked
                looked += len(free) + PUT
                at, lies = best_fit(free, ways[i], fit)
            bench.put(at, i, lies, 0)
            continue
        panels[i] += 1
        staves, left = pieces[i].staves, pieces[i].width
        while left > 0 and staves is not None:
            looked += len(free) + PUT
            at, lies = best_stave(free, pieces[i].length, left, staves, fit)
            if at >= 0:
                bench.put(at, i, lies, panels[i])
                left -= lies[1] - staves.loss
            elif not bench.opened(pieces[i], preferred):
                return None, looked
    return bench.laid, looked


def least_sides(pieces: Sequence[Piece]) -> Size:
    """Length and width below which a region has room for no piece."""
    ways = [way for piece in pieces for way in piece.ways()]
    widths = [piece.staves.least for piece in pieces if piece.staves]
    return min(way[0] for way in ways), min([*(way[1] for way in ways), *widths])


def _across_first(length: int, width: int, of_length: int, of_width: int, split: str) -> bool:
    """Which of the two cuts comes first: it decides what remains whole."""
    right, above = length - of_length, width - of_width
    if split == SHORTER:
        return right > above
    if split == LARGER:
        return max(right * width, of_length * above) >= max(length * above, right * of_width)
    return split == ACROSS


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
        across, at = step.across, {True: step.length, False: step.width}
        strip, first = region.sides(across, at[across])
        corner, second = strip.sides(not across, at[not across])
        piece = Node(corner, piece=step.piece, turned=step.turned, panel=step.panel)
        kept = parted(strip, not across, at[not across], piece, filled(second, rests[id] + 1))
        return parted(region, across, at[across], kept, filled(first, rests[id]))

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
