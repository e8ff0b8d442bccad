"""From the planner's ticks to the record of a plan: pieces, cuts in their order, what is left, and what is charged."""

from collections.abc import Iterator, Sequence

from quoting.cut_plans.layout import trim_of, zones_of
from quoting.cut_plans.supply import Supply, area
from quoting.job.shop import Shop
from quoting.job.stock import Price
from quoting.nesting.pattern import metres, ticks
from quoting.nesting.record import Offcut, SawnPiece, SawnStock, SawStep
from quoting.nesting.rectangles import Node, Region, leaves, without_idle_cuts
from quoting.nesting.sheets import Sawn
from quoting.takeoff.stock import CutGroup
from quoting.values import Yield, YieldKind, basis

MEASURES = ("volume", "area", "length")
"""What blanks are measured in: of timber, of sheets, of bars."""

WORDS: dict[YieldKind, str] = {
    "": "x {factor:number} by the cut plan",
    "yard": "x {factor:number} by the cut plan, from stock at its own price",
    "rack": "x {factor:number} by the cut plan, from the rack",
}


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
