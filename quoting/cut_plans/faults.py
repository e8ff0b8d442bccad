"""What keeps parts from being planned: blanks that no stock has room for, stock that is not enough, slips of the pen in its rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cut_plans.layout import piece_of, stock_of
from quoting.errors import Problem, nearest
from quoting.measures import shown
from quoting.nesting.pattern import Offer, ticks
from quoting.nesting.regions import has_room
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.cut_plans.supply import Supply
    from quoting.job.brief import Brief
    from quoting.job.stock import StockRow
    from quoting.takeoff.stock import Blanks, CutGroup

STOCK_FIELDS = {"board": "board", "sheet": "sheet_size", "bar": "bar_length"}


def too_large(blanks: Blanks, group: CutGroup, brief: Brief) -> Problem:
    """Blanks that no stock has room for."""
    system = brief.shop.shop.units
    length, width = shown(blanks.length_m, "length", system), shown(blanks.width_m, "length", system)
    size = length if group.stock.kind == "bar" else f"{length} x {width}"
    wanted = "write stock that is larger"
    if group.trade == "hardwood" and not blanks.panel:
        wanted += ", or glued_up = true for a panel of staves"
    words = f"found a blank of {size} (with what is planed and sawn off), larger than any stock of {group.item} that is listed"
    return Problem(f"{blanks.path}.length", words, wanted)


def fits(blanks: Blanks, group: CutGroup, stock: Sequence[Supply], brief: Brief) -> bool:
    """True where some stock has room for a blank."""
    if group.stock.kind == "bar":
        return any(ticks(blanks.length_m) <= ticks(one.row.length_m) for one in stock)
    kerf = ticks(group.kerf_m)
    piece = piece_of(blanks, brief.shop).with_kerf(kerf)
    stocks = (stock_of(one, Offer(1, None), brief.shop, kerf) for one in stock)
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
        yield Problem(f"{group.blanks[0].path}.item", found, wanted)


def unknown_species(brief: Brief) -> Iterator[Problem]:
    """Boards of a species that nobody knows: a slip of the pen, and no part would be cut from them."""
    known = brief.tables.species
    for row in brief.stock:
        if row.kind == "board" and key(row.name) not in known:
            wanted = nearest(key(row.name), known)
            yield _at(row, "species", f'found "{row.name}", not in the reference table', wanted)


def off_the_board(brief: Brief) -> Iterator[Problem]:
    """Defects that begin beyond the end or the edge of their board."""
    for row in brief.stock:
        for number, one in enumerate(row.defects, start=1):
            if one.from_end >= row.length_m or one.from_edge >= row.width_m:
                found = f"found defect {number} beyond the end or the edge of its board"
                yield _at(row, "defects", found, "write where it begins on the board")


def _at(row: StockRow, field: str, found: str, wanted: str) -> Problem:
    problem = Problem(f"{row.path or row.name}.{field}", found, wanted)
    return problem.at(row.file, row.line) if row.file else problem


def not_enough(group: CutGroup, brief: Brief) -> Problem:
    """No plan was found that holds all parts; that none is there, nobody has proved."""
    field = STOCK_FIELDS[group.stock.kind]
    if not getattr(brief.job, field):
        field = "cut.tally"
    words = f"found no way to cut all parts from the stock of {group.item} that is listed"
    return Problem(field, words, "write more of it, or one without a count: as many as are needed")
