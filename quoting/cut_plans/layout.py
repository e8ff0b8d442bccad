"""Plans in ticks: what is asked of the planner, and what it found, as a record in metres."""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from quoting.cut_plans.supply import Supply
from quoting.job.shop import Shop
from quoting.nesting.bars import Bars, bar_plan
from quoting.nesting.pattern import Limit, Offer, never, ticks
from quoting.nesting.placing import Stock
from quoting.nesting.rectangles import Cut, Node, Piece, Region, Staves
from quoting.nesting.regions import clearings
from quoting.nesting.sheets import Sawn, SawPlan, area_bound, sheet_plan
from quoting.takeoff.stock import Blanks, CutGroup
from quoting.trades.hardwood import TIMBER
from quoting.trades.sheet import SHEETS

CENTS = 100
"""Steps in which the planner counts money."""


class Trim(NamedTuple):
    """What is sawn off each end and each edge before anything else [m]."""

    end_m: float
    edge_m: float


def trim_of(one: Supply, shop: Shop) -> Trim:
    """The ends of boards and the edges of sheets that are bought; what lies on the rack was trimmed when it was new."""
    if one.kind == "rack" or one.row.kind == "bar":
        return Trim(0.0, 0.0)
    if one.row.kind == "board":
        return Trim(TIMBER.of(shop).end_trim, 0.0)
    return Trim(SHEETS.of(shop).trim, SHEETS.of(shop).trim)


def offer_of(one: Supply) -> Offer:
    """Its price as the planner counts it, and how many there are: stock of the rack counts nothing, and so is used first."""
    return Offer(0 if one.kind == "rack" else max(round(one.price * CENTS), 1), one.row.number)


def layout(group: CutGroup, stock: Sequence[Supply], shop: Shop, limit: Limit) -> SawPlan | None:
    """The plan of a group, its prices in steps of a cent; None where the stock is not enough."""
    kerf = ticks(group.kerf_m)
    if group.stock.kind == "bar":
        lengths = tuple(ticks(one.row.length_m) for one in stock)
        wanted = tuple((ticks(one.length_m), one.number) for one in group.blanks)
        bars = _kept_bars if limit.halted is never else _of_bars
        return bars(lengths, tuple(map(offer_of, stock)), wanted, kerf, limit)
    stocks = tuple(stock_of(one, offer_of(one), shop, kerf) for one in stock)
    sheets = _kept_sheets if limit.halted is never else sheet_plan
    return sheets(tuple(piece_of(one, shop).with_kerf(kerf) for one in group.blanks), stocks, limit)


def least_price(group: CutGroup, stock: Sequence[Supply], shop: Shop) -> int | None:
    """A price that no plan of boards or sheets is below, by area, in the planner's steps of money; None where there can be no plan."""
    kerf = ticks(group.kerf_m)
    stocks = [stock_of(one, offer_of(one), shop, kerf) for one in stock]
    return area_bound([piece_of(one, shop).with_kerf(kerf) for one in group.blanks], stocks)


def piece_of(blanks: Blanks, shop: Shop) -> Piece:
    """Blanks as the planner knows them, without kerf."""
    timber = TIMBER.of(shop)
    staves = None
    if blanks.panel:
        staves = Staves(ticks(timber.stave_least), ticks(timber.stave_most), ticks(timber.joint_loss))
    return Piece(ticks(blanks.length_m), ticks(blanks.width_m), blanks.number, blanks.turns, staves)


def stock_of(one: Supply, offer: Offer, shop: Shop, kerf: int) -> Stock:
    """Stock as the planner knows it: trimmed, and what must not be in a part as zones."""
    end, edge = map(ticks, trim_of(one, shop))
    length, width = ticks(one.row.length_m) - 2 * end, ticks(one.row.width_m) - 2 * edge
    zones = [
        Region(x - end, y - edge, long, wide)
        for x, y, long, wide in (map(ticks, zone) for zone in zones_of(one))
    ]
    return Stock(offer, clearings(max(length, 1), max(width, 1), zones, kerf))


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


def _of_bars(
    lengths: tuple[int, ...], offers: tuple[Offer, ...], wanted: tuple[tuple[int, int], ...], kerf: int, limit: Limit
) -> SawPlan | None:  # fmt: skip
    sizes, numbers = tuple(size for size, _ in wanted), tuple(number for _, number in wanted)
    found = bar_plan(Bars(lengths, offers, sizes, numbers, kerf), limit)
    if found is None:
        return None
    laid = []
    for use in found.uses:
        kinds = [i for i, many in enumerate(use.pattern.fill) for _ in range(many)]
        long = Region(0, 0, lengths[use.pattern.stock] + kerf, kerf + 1)
        sizes_here = sorted(((sizes[i], i) for i in kinds), reverse=True)
        laid.append(Sawn(use.pattern.stock, use.times, _sawn_off(long, sizes_here, kerf)))
    return SawPlan(tuple(laid), found.price, found.bound)


def _sawn_off(bar: Region, sizes: Sequence[tuple[int, int]], kerf: int) -> Node:
    """A bar from which pieces are sawn one after another, the longest first."""
    if not sizes:
        return Node(bar)
    (size, kind), *more = sizes
    at = size + kerf
    piece = Node(bar._replace(length=min(at, bar.length)), piece=kind)
    if at >= bar.length:
        return piece
    rest = bar._replace(x=bar.x + at, length=bar.length - at)
    return Node(bar, Cut(True, at, piece, _sawn_off(rest, more, kerf)))


# The same question is asked by every option of a job, and is answered once.
_kept_sheets, _kept_bars = lru_cache(maxsize=64)(sheet_plan), lru_cache(maxsize=64)(_of_bars)
