"""A plan of one item: what is asked of the planner in ticks, and what it found as a record in metres, with what is charged of it."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from quoting.cut_plans.items import Supply, area
from quoting.job.prices import Price
from quoting.job.shop import Shop
from quoting.nesting.bars import Bars, bar_plan
from quoting.nesting.pattern import Limit, Offer, metres, never, ticks
from quoting.nesting.rectangles import (
    Cut,
    Node,
    Piece,
    Region,
    Staves,
    Stock,
    clearings,
    leaves,
    without_idle_cuts,
)
from quoting.nesting.sheets import Sawn, SawPlan, sheet_plan
from quoting.nesting.whole import area_bound
from quoting.takeoff.stock import Blanks, CutGroup, Offcut, SawnPiece, SawnStock, SawStep
from quoting.trades.hardwood import TIMBER
from quoting.trades.sheet import SHEETS
from quoting.values import Yield, YieldKind, basis

CENTS = 100
"""Steps in which the planner counts money."""


MEASURES = ("volume", "area", "length")
"""What blanks are measured in: of timber, of sheets, of bars."""

WORDS: dict[YieldKind, str] = {
    "": "x {factor:number} by the cut plan",
    "yard": "x {factor:number} by the cut plan, from stock at its own price",
    "rack": "x {factor:number} by the cut plan, from the rack",
}


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


def used_share(one: Supply, kept_m2: float, group: CutGroup, shop: Shop) -> float:
    """The share of a stock that is charged: all of it; or what is not kept of it and the shop's waste on that, at most all.

    Stock of the rack is always charged so: what goes back lies there for the next job.
    """
    cut = shop.cut
    if one.kind != "rack" and not group.as_used and cut.charge == "whole":
        return 1.0
    return min((1 - kept_m2 / area(one.row)) * (1 + cut.shelf_waste), 1.0)


def yields_of(
    group: CutGroup, cut: Sequence[tuple[Supply, SawnStock]], rows: Sequence[Price]
) -> Iterator[tuple[str, tuple[Yield, ...]]]:
    """What every part takes of each kind of stock, by its path: all parts of a group share alike. `rows` of the price book say who
    sells the item.
    """
    net = sum(one.net for one in group.blanks)
    kinds = dict.fromkeys(one.kind for one, _ in cut)
    found = tuple(_yield(kind, net, [one for one in cut if one[0].kind == kind], rows) for kind in kinds)
    for blanks in group.blanks:
        yield blanks.path, found


def _yield(
    kind: YieldKind, net: float, cut: Sequence[tuple[Supply, SawnStock]], rows: Sequence[Price]
) -> Yield:
    measures = cut[0][0].amounts
    amounts = {
        name: sum(one.amounts[name] * sawn.number * sawn.used for one, sawn in cut) / net for name in measures
    }
    measure = next(name for name in MEASURES if name in measures)
    factor = amounts[measure]
    whole = sum(one.amounts[measure] * sawn.number for one, sawn in cut) / net
    money = sum(one.price * sawn.number * sawn.used for one, sawn in cut) / net
    ordered = whole / factor if factor and kind != "rack" else 1.0
    found = Yield(amounts, basis(WORDS[kind], factor=factor), kind, money if kind else None, ordered)
    if kind != "yard" or not rows:
        return found
    return found._replace(supplier=rows[0].supplier, lead_days=max(row.lead_days for row in rows))


def sawn_stock(sawn: Sawn, one: Supply, group: CutGroup, shop: Shop) -> SawnStock:
    """The record of a stock that is cut."""
    end, edge = trim_of(one, shop)
    kerf = ticks(group.kerf_m)
    bar = group.stock.kind == "bar"
    cuts = without_idle_cuts(
        sawn.cuts, lambda region: _is_kept(*_inside(region, kerf, end, edge, bar)[2:], group, shop)
    )
    pieces = []
    for node in leaves(cuts):
        if node.piece is not None:
            x, y, length, width = _inside(node.region, kerf, end, edge, bar)
            blanks = group.blanks[node.piece]
            pieces.append(SawnPiece(
                blanks.path, blanks.part, x, y, length, width, node.turned, node.panel, blanks.two, blanks.turns,
            ))  # fmt: skip
    left = tuple(_offcuts(cuts, kerf, (end, edge), group, shop, _worth(one, shop)))
    kept = sum(part.length_m * (part.width_m or 1.0) for part in left if part.kept)
    return SawnStock(
        one.row.where, one.row.supplied, sawn.times, one.row.length_m, one.row.width_m, one.price,
        used_share(one, kept, group, shop), end, edge, tuple(_steps(cuts, kerf, bar)), tuple(pieces), left, zones_of(one),
        one.kind == "yard",
    )  # fmt: skip


def _inside(
    region: Region, kerf: int, end_m: float, edge_m: float, bar: bool
) -> tuple[float, float, float, float]:
    """Corner and size of a region without the kerf that ends it [m]; a bar has no width."""
    length, width = metres(region.length - kerf), 0.0 if bar else metres(region.width - kerf)
    return metres(region.x) + end_m, 0.0 if bar else metres(region.y) + edge_m, length, width


def _offcuts(
    cuts: Node, kerf: int, trim: tuple[float, float], group: CutGroup, shop: Shop, worth_m2: float
) -> Iterator[Offcut]:
    """What is left, and whether it is kept."""
    for node in leaves(cuts):
        x, y, length, width = _inside(node.region, kerf, *trim, group.stock.kind == "bar")
        if node.piece is None and node.clear and length > 0 and (width > 0 or group.stock.kind == "bar"):
            kept = _is_kept(length, width, group, shop)
            yield Offcut(x, y, length, width, kept, length * (width or 1.0) * worth_m2 if kept else 0.0)


def _is_kept(length_m: float, width_m: float, group: CutGroup, shop: Shop) -> bool:
    """True of an offcut as large as the shop keeps. A sheet may lie either way."""
    rule, kind = shop.cut, group.stock.kind
    if kind == "sheet":
        length_m, width_m = max(length_m, width_m), min(length_m, width_m)
    return length_m >= rule.offcut_length and (kind == "bar" or width_m >= rule.offcut_width)


def _steps(cuts: Node, kerf: int, bar: bool) -> Iterator[SawStep]:
    """Every cut in the order it is made; what lies to the left of a cut, or below it, is cut up first."""
    places = {node.region: i for i, node in enumerate(one for one in leaves(cuts) if one.piece is not None)}
    count = 0
    waiting = [(cuts, 0)]
    while waiting:
        node, of = waiting.pop()
        if node.cut is None:
            continue
        count += 1
        sides = (node.cut.first, node.cut.second)
        gives = tuple(places[one.region] for one in sides if one.piece is not None)
        _, _, length, width = _inside(node.region, kerf, 0.0, 0.0, bar)
        yield SawStep(of, node.cut.across, metres(node.cut.at - kerf), length, width, gives)
        waiting += [(node.cut.second, count), (node.cut.first, count)]


def _worth(one: Supply, shop: Shop) -> float:
    """What an offcut is worth [money per m2, or per m of a bar]: the shop's share of what as much of the stock costs; stock of the
    rack was an offcut itself.
    """
    share = 1.0 if one.kind == "rack" else shop.cut.offcut_worth
    return share * one.price / area(one.row)
