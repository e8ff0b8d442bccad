"""Pieces put one after another into the corners of free regions, each parted from the rest by two cuts right through."""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from quoting.nesting.rectangles import (
    Cut,
    Node,
    Piece,
    Region,
    Rooms,
    Size,
    Staves,
    Stock,
    Way,
    has_room,
    leaves,
    parted,
)

SHORT_SIDE, AREA, LONG_SIDE = "short side", "area", "long side"
FITS = (SHORT_SIDE, AREA, LONG_SIDE)
"""A piece fits best where least is left: on the side that fits closest, of the area, on the side that fits less."""

LARGER, SHORTER, ACROSS, RIP = "larger", "shorter", "across", "rip"
SPLITS = (LARGER, SHORTER, ACROSS, RIP)
"""Which of the two cuts comes first: the one that leaves the larger rest whole, the one that leaves the shorter, or always one."""

Free = tuple[int, int, int, int]
"""A free region: its length and width, the index of the stock that is laid, and its own in that."""

PUT = 40
"""What it takes to put a piece, in regions looked at."""


class Rule(NamedTuple):
    """How pieces are put: one of `FITS`, one of `SPLITS`."""

    fit: str
    split: str


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

    def __init__(self, stocks: Sequence[Stock], rooms: Rooms, rule: Rule, least: Size) -> None:
        self.rooms, self.rule, self.least = rooms, rule, least
        self.there = [stock.offer.most for stock in stocks]
        self.laid: list[Laid] = []
        self.free: list[Free] = []
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
    ways = [piece.ways() for piece in pieces]
    lengths, widths, _ = zip(*(way for those in ways for way in those), strict=True)
    staves = (piece.staves.least for piece in pieces if piece.staves)
    return Kinds(pieces, ways, (min(lengths), min([*widths, *staves])))


def placed(
    order: Sequence[int], kinds: Kinds, stocks: Sequence[Stock], rooms: Rooms, preferred: Sequence[tuple[int, int]], rule: Rule
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


def best_fit(free: Sequence[Free], ways: Sequence[Way], fit: str) -> tuple[int, Way]:
    """The free region that a piece fits best, and how it lies there; -1 where none has room. A search spends its time here."""
    best, at, lies = inf, -1, ways[0]
    by_area, by_short = fit == AREA, fit == SHORT_SIDE
    for way in ways:
        of_length, of_width, _ = way
        for j, (length, width, _, _) in enumerate(free):
            if of_length <= length and of_width <= width:
                # as `_left`, which takes too long to call
                if by_area:
                    left = length * width
                else:
                    left, above = length - of_length, width - of_width
                    if (left > above) == by_short:
                        left = above
                if left < best:
                    best, at, lies = left, j, way
    return at, lies


def best_stave(free: Sequence[Free], length: int, wanted: int, staves: Staves, fit: str) -> tuple[int, Way]:
    """The free region that gives the best stave of a panel, as wide as there is use for, and that stave."""
    best, at, lies = inf, -1, (length, 0, False)
    for j, (long, wide, _, _) in enumerate(free):
        stave = stave_width(wide, wanted, staves)
        if length <= long and stave:
            left = _left(fit, long, wide, long - length, wide - stave)
            if left < best:
                best, at, lies = left, j, (length, stave, False)
    return at, lies


def stave_width(room: int, wanted: int, staves: Staves) -> int:
    """The widest stave that a room gives, narrower where the last stave would be too narrow without; 0 where none is wide enough.

    A panel of the narrowest staves may come out wider than is wanted.
    """
    if room < staves.least:
        return 0
    width = max(min(room, staves.most, wanted + staves.loss), staves.least)
    short, narrowest = wanted - (width - staves.loss), staves.least - staves.loss
    return max(width - (narrowest - short), staves.least) if 0 < short < narrowest else width


def _left(fit: str, length: int, width: int, right: int, above: int) -> int:
    """What is left of a region, by which pieces are fitted."""
    if fit == AREA:
        return length * width
    return right if (fit == SHORT_SIDE) == (right < above) else above


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
