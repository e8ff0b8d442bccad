"""The stock that an item is cut from: what is listed, what may always be bought, and what one of it costs."""

from collections.abc import Mapping
from typing import NamedTuple

from quoting.costing.rates import purchase_factor
from quoting.errors import Problem
from quoting.job.brief import Brief
from quoting.job.stock import StockRow
from quoting.nesting.pattern import ticks
from quoting.takeoff.stock import CutGroup
from quoting.trades.hardwood import TIMBER
from quoting.trades.hardwood.boards import charged_thickness_m, tallied_m3
from quoting.values import YieldKind, key

SAME_M = 1e-6


class Supply(NamedTuple):
    """Stock of one size: what one of it amounts to, in every dimension that it may be priced in, and what one costs whole."""

    row: StockRow
    kind: YieldKind
    amounts: Mapping[str, float]
    price: float


class _Book(NamedTuple):
    """The price book's price of an item: its dimension, and money for one canonical unit at the cheapest pack."""

    dimension: str
    rate: float


def supplies(group: CutGroup, brief: Brief, problems: list[Problem]) -> list[Supply]:
    """Stock of an item: what is listed, and the sizes that its parts name; none where there is neither, and nothing is planned.
    `problems` grows by stock that has no price.
    """
    listed = [row for row in brief.stock if matches(row, group)]
    if not listed and not group.sizes:
        return []
    own = [StockRow(group.stock.kind, group.item, 0.0, *size) for size in group.sizes]
    sizes = {_size(*size) for size in group.sizes}
    book = _book(group, brief)
    found = []
    for row in (*listed, *own):
        amounts = _amounts(row, group, brief)
        if row.supplied == "rack":
            found.append(Supply(row, "rack", amounts, _worth(row, amounts, book, group, brief)))
        elif row.price is not None:
            found.append(Supply(row, "yard", amounts, row.price))
        elif book is None:  # a problem where its needs are priced; the plan takes the least of it
            found.append(Supply(row, "", amounts, area(row)))
        elif book.dimension != "count" or _size(row.length_m, row.width_m) in sizes:
            found.append(Supply(row, "", amounts, book.rate * amounts.get(book.dimension, 0.0)))
        else:
            words = f'found none, and "{group.item}" is priced by the piece in prices.csv'
            problem = Problem(f"{row.path}.price".lstrip("."), words, "write the price of one")
            problems.append(problem.at(row.file, row.line) if row.file else problem)
    return found


def _size(length_m: float, width_m: float) -> tuple[int, ...]:
    """A size whichever way it is written: what is sold by the piece costs the same."""
    return tuple(sorted((ticks(length_m), ticks(width_m))))


def matches(row: StockRow, group: CutGroup) -> bool:
    """True where parts of the group can be cut from the row."""
    stock = group.stock
    same = row.kind == stock.kind and key(row.name) == key(stock.name)
    return same and abs(row.rough_m - stock.rough_m) < SAME_M


def has_no_size(row: StockRow) -> bool:
    """True where a length, or a width, is 0: a problem of the row it is written in."""
    return not row.length_m or (row.kind != "bar" and not row.width_m)


def area(row: StockRow) -> float:
    """What a stock measures [m2, or m of a bar]."""
    return row.length_m * (row.width_m or 1.0)


def _amounts(row: StockRow, group: CutGroup, brief: Brief) -> dict[str, float]:
    """One of it in every dimension; boards are tallied one by one."""
    if row.kind == "board":
        timber = TIMBER.of(brief.shop)
        thickness = charged_thickness_m(rough_m=row.rough_m, timber=timber)
        volume = area(row) * thickness
        whole = timber.tally == "surface measure"
        return {"volume": float(tallied_m3(volume_m3=volume, thickness_m=thickness)) if whole else volume}
    if row.kind == "sheet":
        return {"count": 1.0, "area": area(row)}
    return {"count": 1.0, "length": row.length_m, "mass": row.length_m * group.mass_kg_m}


def _book(group: CutGroup, brief: Brief) -> _Book | None:
    rows = brief.book.get(key(group.item), ())
    if not rows:
        return None
    rate = min(row.price / row.unit.factor for row in rows) * purchase_factor(brief.shop)
    return _Book(rows[0].unit.dimension, rate)


def _worth(
    row: StockRow, amounts: Mapping[str, float], book: _Book | None, group: CutGroup, brief: Brief
) -> float:
    """What stock of the rack is worth: what its row says, else the shop's share of what as much costs new."""
    if row.price is not None:
        return row.price
    if book is None:
        return 0.0
    one = amounts.get(book.dimension, 0.0)
    if book.dimension == "count":
        length, width = group.sizes[0]
        one = area(row) / (length * (width or 1.0))
    return brief.shop.cut.offcut_worth * book.rate * one
