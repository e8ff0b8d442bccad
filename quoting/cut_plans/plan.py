"""The cut plans of a job: every item that has stock to be cut from is planned, and take-off gets its yields; and what keeps parts out."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from quoting.cut_plans.items import Supply, area, groups, halves, has_no_size, matches, pairings, supplies
from quoting.cut_plans.layout import CENTS, layout, least_price, piece_of, sawn_stock, stock_of
from quoting.errors import Problem, nearest
from quoting.job.brief import Brief
from quoting.job.stock import Price, StockRow
from quoting.measures import shown
from quoting.nesting.pattern import Limit, ticks, usual
from quoting.nesting.rectangles import deep, has_room
from quoting.nesting.sheets import SawPlan
from quoting.takeoff.stock import Blanks, CutGroup, CutPlan, SawnStock
from quoting.values import Yield, YieldKind, basis, key

STOCK_FIELDS = {"board": "board", "sheet": "sheet_size", "bar": "bar_length"}
"""Where a job lists stock of each kind."""

MEASURES = ("volume", "area", "length")
"""What blanks are measured in: of timber, of sheets, of bars."""

WORDS: dict[YieldKind, str] = {
    "": "x {factor:number} by the cut plan",
    "yard": "x {factor:number} by the cut plan, from stock at its own price",
    "rack": "x {factor:number} by the cut plan, from the rack",
}

GROWTH = 3
"""How many times larger a search is than the one before it, where there is time."""


class Unplanned(NamedTuple):
    """An item that has no plan; `rows` are stock of the rack that is listed and does not hold all of its parts."""

    name: str
    rows: tuple[StockRow, ...]


def with_plans(brief: Brief, limits: Callable[[int], Limit] = usual) -> tuple[Brief, list[Problem]]:
    """The brief with its cut plans, and what keeps parts from being planned (without places).

    `limits` gives the limit of the next plan by how many are still to be made.
    """
    if not brief.stock or any(has_no_size(row) for row in brief.stock):
        return brief, []
    problems = [*unknown_species(brief), *off_the_board(brief)]
    plans: list[CutPlan] = []
    yields: dict[str, tuple[Yield, ...]] = {}
    asked = [(group, stock) for group in groups(brief) if (stock := supplies(group, brief, problems))]
    for number, (group, stock) in enumerate(asked):
        limit = limits(len(asked) - number)
        large = {
            one.path: too_large(one, group, brief) for one in group.blanks if not fits(one, group, stock)
        }
        rest = group._replace(blanks=tuple(one for one in group.blanks if one.path not in large))
        rack_only = all(one.kind == "rack" for one in stock)
        if rack_only and large:
            continue
        problems += [*large.values(), *weights(group)]
        if not rest.blanks:
            continue
        with deep(sum(one.number for one in rest.blanks)):
            rest, found, early = _within(rest, stock, limit)
            cut = [
                (stock[laid.stock], sawn_stock(laid, stock[laid.stock], rest, brief.shop))
                for laid in (found.sawn if found is not None else ())
            ]
        if found is None:
            problems += [] if rack_only else [not_enough(rest, brief)]
            continue
        plans.append(_record(rest, cut, found, early))
        yields |= _yields_of(rest, cut, brief.book.get(key(rest.item), ()))
    tables = replace(brief.tables, yields=yields)
    return replace(brief, tables=tables, plans=tuple(plans)), problems


def unplanned(brief: Brief) -> Iterator[Unplanned]:
    """Items of a job with stock that have no plan, and of which some lies on the rack."""
    planned = {plan.item for plan in brief.plans}
    for group in groups(brief) if brief.stock else ():
        if group.item not in planned:
            yield Unplanned(group.item, tuple(row for row in brief.stock if matches(row, group)))


def _within(group: CutGroup, stock: Sequence[Supply], limit: Limit) -> tuple[CutGroup, SawPlan | None, bool]:
    """The best plan within a limit, with larger and larger searches while there is time; True where not even the first was ended."""
    way, found = _cheapest(group, stock, limit)
    early = limit.halted()
    while found is not None and found.price > found.bound and limit.again():
        limit = limit.times(GROWTH)
        other_way, other = _cheapest(group, stock, limit)
        if other is not None:
            bound = max(found.bound, other.bound)
            if other.price < found.price:
                way, found = other_way, other
            found = found._replace(bound=min(bound, found.price))
    return way, found, early


def _cheapest(group: CutGroup, stock: Sequence[Supply], limit: Limit) -> tuple[CutGroup, SawPlan | None]:
    """The cheapest plan among ways of putting shapes in pairs; at one price, that with the fewest pairs. None where none is found.

    Its bound holds for every way there is.
    """
    ways, every = pairings(group)
    effort = limit._replace(regions=limit.regions // len(ways), in_vain=limit.in_vain // len(ways))
    plans = [(way, layout(way, stock, effort)) for way in ways]
    found = [(way, plan) for way, plan in plans if plan is not None]
    if not found:
        return group, None
    way, best = min(found, key=lambda one: one[1].price)
    bounds = [least_price(way, stock) if plan is None else plan.bound for way, plan in plans]
    bound = min(one for one in bounds if one is not None) if every else least_price(halves(group), stock) or 0
    return way, best._replace(bound=min(bound, best.price))


def unused_rows(brief: Brief) -> list[StockRow]:
    """Stock that the job file itself lists and that nothing is cut from, because no part is of it: often a slip of the pen."""
    those = groups(brief)
    return [row for row in brief.stock if row.path and not any(matches(row, group) for group in those)]


def _record(group: CutGroup, cut: Sequence[tuple[Supply, SawnStock]], found: SawPlan, early: bool) -> CutPlan:
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
        ended_early=early,
    )


def _yields_of(
    group: CutGroup, cut: Sequence[tuple[Supply, SawnStock]], rows: Sequence[Price]
) -> dict[str, tuple[Yield, ...]]:
    """What every part takes of each kind of stock, by its path: all parts of a group share alike. `rows` of the price file say who
    sells the item.
    """
    net = sum(one.net for one in group.blanks)
    kinds = dict.fromkeys(one.kind for one, _ in cut)
    found = tuple(_yield(kind, net, [one for one in cut if one[0].kind == kind], rows) for kind in kinds)
    return dict.fromkeys((blanks.path for blanks in group.blanks), found)


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


def too_large(blanks: Blanks, group: CutGroup, brief: Brief) -> Problem:
    """Blanks that no stock has room for."""
    system = brief.shop.shop.units
    length, width = shown(blanks.length_m, "length", system), shown(blanks.width_m, "length", system)
    size = length if group.stock.kind == "bar" else f"{length} x {width}"
    words = f"found a blank of {size} (with what is planed and sawn off), larger than any stock of {group.item} that is listed"
    wanted = f"write stock that is larger{blanks.or_else}"
    return Problem.of(f"{blanks.path}.length", words, wanted, "no_fit", size=size, item=group.item)


def fits(blanks: Blanks, group: CutGroup, stock: Sequence[Supply]) -> bool:
    """True where some stock has room for a blank."""
    if group.stock.kind == "bar":
        return any(ticks(blanks.length_m) <= ticks(one.row.length_m) for one in stock)
    piece = piece_of(blanks, group)
    stocks = (stock_of(one, group) for one in stock)
    return any(
        has_room(room, piece)
        for one in stocks
        for way in range(len(one.clearings))
        for room in one.rooms(way)
    )


def weights(group: CutGroup) -> Iterator[Problem]:
    """Bars of one item that weigh differently are no one item."""
    if len(group.weights) > 1:
        wanted = "name each section as an item of its own, in the job and in prices.csv"
        found = f'found "{group.item}" in more than one section or mass_per_length'
        yield Problem.of(f"{group.blanks[0].path}.item", found, wanted, "conflict", item=group.item)


def unknown_species(brief: Brief) -> Iterator[Problem]:
    """Boards of a species that nobody knows: a slip of the pen, and no part would be cut from them."""
    species = brief.tables.species
    for row in brief.stock:
        if row.kind == "board" and key(row.name) not in species:
            wanted = nearest(key(row.name), species)
            yield _at(row, "species", f'found "{row.name}", not in the reference table', wanted)


def off_the_board(brief: Brief) -> Iterator[Problem]:
    """Defects that begin beyond the end or the edge of their board."""
    for row in brief.stock:
        for number, one in enumerate(row.defects, start=1):
            if one.from_end >= row.length_m or one.from_edge >= row.width_m:
                found = f"found defect {number} beyond the end or the edge of its board"
                yield _at(row, "defects", found, "write where it begins on the board")


def _at(row: StockRow, field: str, found: str, wanted: str) -> Problem:
    problem = Problem.of(f"{row.path or row.name}.{field}", found, wanted, "no_fit")
    return problem.at(row.file, row.line) if row.file else problem


def not_enough(group: CutGroup, brief: Brief) -> Problem:
    """No plan was found that holds all parts; that none is there, nobody has proved."""
    field = STOCK_FIELDS[group.stock.kind]
    if not getattr(brief.job, field):
        field = "cut.tally"
    words = f"found no way to cut all parts from the stock of {group.item} that is listed"
    wanted = "write more of it, or one without a count: as many as are needed"
    return Problem.of(field, words, wanted, "no_stock", item=group.item)
