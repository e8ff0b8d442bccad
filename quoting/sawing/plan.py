"""The cut plans of a job: every item that has stock to be cut from is planned, and take-off is told what it takes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.cutting.limit import usual
from quoting.cutting.pattern import Offer
from quoting.cutting.placing import has_room
from quoting.cutting.record import CutPlan
from quoting.cutting.ticks import ticks
from quoting.errors import Problem
from quoting.measures import shown
from quoting.sawing.charge import yields_of
from quoting.sawing.demand import groups, in_pairs
from quoting.sawing.drawn_up import sawn_stock
from quoting.sawing.layout import CENTS, layout, piece_of, stock_of
from quoting.sawing.supply import area, has_no_size, matches, supplies

STOCK_FIELDS = {"board": "board", "sheet": "sheet_size", "bar": "bar_length"}

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from quoting.cutting.limit import Limit
    from quoting.cutting.record import SawnStock
    from quoting.inputs.brief import Brief
    from quoting.inputs.stock import StockRow
    from quoting.inputs.yields import Yield
    from quoting.sawing.demand import Blanks, Group
    from quoting.sawing.layout import Layout
    from quoting.sawing.supply import Supply


def with_plans(brief: Brief, limits: Callable[[int], Limit] = usual) -> tuple[Brief, list[Problem]]:
    """The brief with its cut plans, and what keeps parts from being planned (without places).

    `limits` gives the limit of the next plan by how many are still to be made.
    """
    if not brief.stock or any(has_no_size(row) for row in brief.stock):
        return brief, []
    problems: list[Problem] = []
    plans: list[CutPlan] = []
    yields: dict[str, tuple[Yield, ...]] = {}
    asked = [(group, stock) for group in groups(brief) if (stock := supplies(group, brief, problems))]
    for number, (group, stock) in enumerate(asked):
        limit = limits(len(asked) - number)
        large = list(_too_large(group, stock, brief))
        problems += large
        gone = {problem.field.rpartition(".")[0] for problem in large}
        rest = group._replace(blanks=tuple(one for one in group.blanks if one.path not in gone))
        if not rest.blanks:
            continue
        rest, found = _cheaper(rest, stock, brief, limit)
        if found is None:
            problems.append(_not_enough(rest, brief))
            continue
        cut = [
            (stock[laid.stock], sawn_stock(laid, stock[laid.stock], rest, brief.shop)) for laid in found.laid
        ]
        plans.append(_record(rest, cut, found, limit))
        yields |= dict(yields_of(rest, cut))
    tables = replace(brief.tables, yields=yields)
    return replace(brief, tables=tables, plans=tuple(plans)), problems


def _cheaper(
    group: Group, stock: Sequence[Supply], brief: Brief, limit: Limit
) -> tuple[Group, Layout | None]:
    """The plan with a blank for every shape, or with shapes in pairs where that costs less."""
    found = layout(group, stock, brief.shop, limit)
    paired = in_pairs(group)
    other = layout(paired, stock, brief.shop, limit) if paired is not None else None
    if paired is None or other is None:
        return group, found
    if found is None:
        return paired, other
    bound = min(found.bound, other.bound)
    if other.price < found.price:
        return paired, other._replace(bound=bound)
    return group, found._replace(bound=bound)


def unused_rows(brief: Brief) -> list[StockRow]:
    """Stock that the job file itself lists and that nothing is cut from, because no part is of it: often a slip of the pen."""
    those = groups(brief)
    return [row for row in brief.stock if row.path and not any(matches(row, group) for group in those)]


def _record(
    group: Group,
    cut: Sequence[tuple[Supply, SawnStock]],
    found: Layout,
    limit: Limit,
) -> CutPlan:
    bought = sum(one.price * sawn.number for one, sawn in cut if one.kind != "rack")
    return CutPlan(
        trade=group.trade,
        item=group.item,
        kind=group.stock.kind,
        kerf_m=group.kerf_m,
        stocks=tuple(sawn for _, sawn in cut),
        needed=sum(
            one.length_m * (one.width_m or 1.0) * sawn.number for _, sawn in cut for one in sawn.pieces
        ),
        taken=sum(area(one.row) * sawn.number for one, sawn in cut),
        bought=bought,
        charged=sum(one.price * sawn.number * sawn.used for one, sawn in cut),
        bound=bought if found.price <= found.bound else min(found.bound / CENTS, bought),
        ended_early=limit.halted(),
    )


def _too_large(group: Group, stock: Sequence[Supply], brief: Brief) -> Iterator[Problem]:
    """Blanks that no stock has room for."""
    for blanks in group.blanks:
        if any(_has_room(one, blanks, group, brief) for one in stock):
            continue
        system = brief.shop.shop.units
        length, width = shown(blanks.length_m, "length", system), shown(blanks.width_m, "length", system)
        size = length if group.stock.kind == "bar" else f"{length} x {width}"
        wanted = "write stock that is larger"
        if group.trade == "hardwood" and not blanks.panel:
            wanted += ", or glued_up = true for a panel of staves"
        words = f"found a blank of {size}, larger than any stock of {group.item} that is listed"
        yield Problem(f"{blanks.path}.length", words, wanted)


def _has_room(one: Supply, blanks: Blanks, group: Group, brief: Brief) -> bool:
    if group.stock.kind == "bar":
        return ticks(blanks.length_m) <= ticks(one.row.length_m)
    kerf = ticks(group.kerf_m)
    piece = piece_of(blanks, brief.shop).with_kerf(kerf)
    stock = stock_of(one, Offer(1, None), brief.shop, kerf)
    return any(has_room(room, piece) for way in range(len(stock.clearings)) for room in stock.rooms(way))


def _not_enough(group: Group, brief: Brief) -> Problem:
    field = STOCK_FIELDS[group.stock.kind]
    if not getattr(brief.job, field):
        field = "cut.tally"
    words = f"found stock of {group.item} that does not hold all of its parts"
    return Problem(field, words, "write more of it, or one without a count: as many as are needed")
