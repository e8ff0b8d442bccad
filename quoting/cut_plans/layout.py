"""A plan of one item: what is asked of the planner in ticks, and what it found as a record in metres."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from quoting.cut_plans.items import Supply, area
from quoting.job.shop import Shop
from quoting.nesting.bars import Bars, bar_plan
from quoting.nesting.pattern import Limit, Offer, metres, never, ticks
from quoting.nesting.rectangles import (
    Node,
    Piece,
    Region,
    Staves,
    Stock,
    clearings,
    leaves,
    parted,
    without_idle_cuts,
)
from quoting.nesting.sheets import Sawn, SawPlan, sheet_plan
from quoting.nesting.whole import area_bound
from quoting.takeoff.stock import Blanks, CutGroup, Offcut, SawnPiece, SawnStock, SawStep

CENTS = 100
"""Steps in which the planner counts money."""


def trim_of(one: Supply, group: CutGroup) -> tuple[float, float]:
    """What is sawn off each end and each edge [m]: of what lies on the rack nothing, it was trimmed when it was new."""
    return (0.0, 0.0) if one.kind == "rack" else group.trim


def layout(group: CutGroup, stock: Sequence[Supply], limit: Limit) -> SawPlan | None:
    """The plan of a group, its prices in steps of a cent; None where the stock is not enough."""
    kept = limit.halted is never
    if group.stock.kind != "bar":
        return (_kept_sheets if kept else sheet_plan)(*_asked(group, stock), limit)
    bars = Bars(
        stocks=tuple(ticks(one.row.length_m) for one in stock),
        offers=tuple(map(_offer, stock)),
        lengths=tuple(ticks(one.length_m) for one in group.blanks),
        wanted=tuple(one.number for one in group.blanks),
        kerf=ticks(group.kerf_m),
    )
    return (_kept_bars if kept else _of_bars)(bars, limit)


def least_price(group: CutGroup, stock: Sequence[Supply]) -> int | None:
    """A price that no plan of boards or sheets is below, by area, in the planner's steps of money; None where there can be no plan."""
    return area_bound(*_asked(group, stock))


def _asked(group: CutGroup, stock: Sequence[Supply]) -> tuple[tuple[Piece, ...], tuple[Stock, ...]]:
    return tuple(piece_of(one, group) for one in group.blanks), tuple(stock_of(one, group) for one in stock)


def piece_of(blanks: Blanks, group: CutGroup) -> Piece:
    """Blanks as the planner knows them, with their kerf."""
    staves = None if blanks.staves is None else Staves(*map(ticks, blanks.staves))
    piece = Piece(ticks(blanks.length_m), ticks(blanks.width_m), blanks.number, blanks.turns, staves)
    return piece.with_kerf(ticks(group.kerf_m))


def stock_of(one: Supply, group: CutGroup) -> Stock:
    """Stock as the planner knows it: trimmed, and what must not be in a part as zones."""
    end, edge = map(ticks, trim_of(one, group))
    length, width = ticks(one.row.length_m) - 2 * end, ticks(one.row.width_m) - 2 * edge
    zones = [
        Region(x - end, y - edge, long, wide)
        for x, y, long, wide in (map(ticks, zone) for zone in zones_of(one))
    ]
    return Stock(_offer(one), clearings(max(length, 1), max(width, 1), zones, ticks(group.kerf_m)))


def _offer(one: Supply) -> Offer:
    """Its price as the planner counts it, and how many there are: stock of the rack counts nothing, and so is used first."""
    return Offer(0 if one.kind == "rack" else max(round(one.price * CENTS), 1), one.row.number)


def zones_of(one: Supply) -> tuple[tuple[float, float, float, float], ...]:
    """What must not be in a part: x, y, length and width [m]. One without a length or width reaches to the other end or edge."""
    row = one.row
    return tuple(
        (
            defect.from_end,
            defect.from_edge,
            row.length_m - defect.from_end if defect.length is None else defect.length,
            row.width_m - defect.from_edge if defect.width is None else defect.width,
        )
        for defect in row.defects
    )


def _of_bars(bars: Bars, limit: Limit) -> SawPlan | None:
    found = bar_plan(bars, limit)
    if found is None:
        return None
    laid = []
    for (stock, fill, _), times in found.uses:
        long = Region(0, 0, bars.stocks[stock] + bars.kerf, bars.kerf + 1)
        own = sorted(((bars.lengths[i], i) for i, many in enumerate(fill) for _ in range(many)), reverse=True)
        laid.append(Sawn(stock, times, _sawn_off(long, own, bars.kerf)))
    return SawPlan(tuple(laid), found.price, found.bound)


def _sawn_off(bar: Region, sizes: Sequence[tuple[int, int]], kerf: int) -> Node:
    """A bar from which pieces are sawn one after another, the longest first."""
    if not sizes:
        return Node(bar)
    (size, kind), *more = sizes
    at = min(size + kerf, bar.length)
    piece, rest = bar.sides(True, at)
    return parted(bar, True, at, Node(piece, piece=kind), _sawn_off(rest, more, kerf))


# The same question is asked by every option of a job, and is answered once.
_kept_sheets, _kept_bars = lru_cache(maxsize=64)(sheet_plan), lru_cache(maxsize=64)(_of_bars)


def used_share(one: Supply, kept_m2: float, group: CutGroup, shop: Shop) -> float:
    """The share of a stock that is charged: all of it; or what is not kept of it and the shop's waste on that, at most all.

    Stock of the rack is always charged so: what goes back lies there for the next job.
    """
    cut = shop.cut
    if one.kind != "rack" and not group.as_used and cut.charge == "whole":
        return 1.0
    return min((1 - kept_m2 / area(one.row)) * (1 + cut.rack_waste), 1.0)


class _Saw(NamedTuple):
    """One stock at the saw, for a group, by the rules of a shop: what in ticks is known of it is said in metres."""

    one: Supply
    group: CutGroup
    shop: Shop

    @property
    def kerf(self) -> int:
        """What a cut takes [ticks]."""
        return ticks(self.group.kerf_m)

    def inside(self, region: Region) -> tuple[float, float, float, float]:
        """Corner and size of a region without the kerf that ends it [m]; a bar has no width."""
        end, edge = trim_of(self.one, self.group)
        x, length = metres(region.x) + end, metres(region.length - self.kerf)
        if self.group.stock.kind == "bar":
            return x, 0.0, length, 0.0
        return x, metres(region.y) + edge, length, metres(region.width - self.kerf)

    def is_kept(self, length_m: float, width_m: float) -> bool:
        """True of an offcut as large as the shop keeps. A sheet may lie either way."""
        rule, kind = self.shop.cut, self.group.stock.kind
        if kind == "sheet":
            length_m, width_m = max(length_m, width_m), min(length_m, width_m)
        return length_m >= rule.offcut_length and (kind == "bar" or width_m >= rule.offcut_width)

    def pieces(self, cuts: Node) -> Iterator[SawnPiece]:
        """Blanks that come of it."""
        for node in leaves(cuts):
            if node.piece is not None:
                one = self.group.blanks[node.piece]
                place = self.inside(node.region)
                yield SawnPiece(one.path, one.part, *place, node.turned, node.panel, one.two, one.turns)

    def offcuts(self, cuts: Node) -> Iterator[Offcut]:
        """What is left, and whether it is kept. It is worth the shop's share of what as much of the stock costs; stock of the rack
        was an offcut itself.
        """
        share = 1.0 if self.one.kind == "rack" else self.shop.cut.offcut_worth
        worth = share * self.one.price / area(self.one.row)
        for node in leaves(cuts):
            x, y, length, width = self.inside(node.region)
            some = length > 0 and (width > 0 or self.group.stock.kind == "bar")
            if node.piece is None and node.clear and some:
                kept = self.is_kept(length, width)
                yield Offcut(x, y, length, width, kept, length * (width or 1.0) * worth if kept else 0.0)

    def steps(self, cuts: Node) -> Iterator[SawStep]:
        """Every cut in the order it is made; what lies to the left of a cut, or below it, is cut up first."""
        pieces = (one for one in leaves(cuts) if one.piece is not None)
        places = {node.region: i for i, node in enumerate(pieces)}
        count = 0
        waiting = [(cuts, 0)]
        while waiting:
            node, of = waiting.pop()
            if node.cut is None:
                continue
            count += 1
            sides = (node.cut.first, node.cut.second)
            gives = tuple(places[one.region] for one in sides if one.piece is not None)
            _, _, length, width = self.inside(node.region)
            yield SawStep(of, node.cut.across, metres(node.cut.at - self.kerf), length, width, gives)
            waiting += [(node.cut.second, count), (node.cut.first, count)]


def sawn_stock(sawn: Sawn, one: Supply, group: CutGroup, shop: Shop) -> SawnStock:
    """The record of a stock that is cut."""
    saw = _Saw(one, group, shop)
    cuts = without_idle_cuts(sawn.cuts, lambda region: saw.is_kept(*saw.inside(region)[2:]))
    left = tuple(saw.offcuts(cuts))
    kept = sum(part.length_m * (part.width_m or 1.0) for part in left if part.kept)
    return SawnStock(
        one.row.where, one.row.supplied, sawn.times, one.row.length_m, one.row.width_m, one.price,
        used_share(one, kept, group, shop), *trim_of(one, group), tuple(saw.steps(cuts)), tuple(saw.pieces(cuts)), left,
        zones_of(one), one.kind == "yard",
    )  # fmt: skip
