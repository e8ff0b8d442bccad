"""The price book: one row an item and pack. Prices are for one unit, not for the pack."""

from dataclasses import dataclass
from datetime import date

from quoting import measures
from quoting.errors import Problem, Reading
from quoting.measures import Unit
from quoting.reading.csv_rows import Cells, Row, rows
from quoting.reading.fields import day, shown, text
from quoting.values import key

COLUMNS = ("item", "unit", "price", "pack", "lead", "supplier", "dated", "note")


@dataclass(frozen=True, slots=True)
class Price:
    """One row: the price of one unit [money], the pack it is sold in [units], lead time [days]."""

    item: str
    unit: Unit
    price: float
    pack: float | None = None
    lead_days: float = 0.0
    supplier: str = ""
    dated: date | None = None
    note: str = ""
    line: int = 0


def _price(row: Row) -> tuple[Price | None, list[Problem]]:
    cells, said = Cells(row, row.cells["item"]), row.cells
    unit = cells.read("unit", measures.unit)
    price = cells.read("price", lambda said: measures.measure(said, "money"))
    lead = cells.read("lead", lambda said: measures.measure(said, "time") / 24) if said["lead"] else 0.0
    dated = cells.read("dated", day) if said["dated"] else None
    pack = cells.read("pack", lambda said: _pack(said, unit)) if said["pack"] and unit else None
    item, supplier, note = (cells.read(column, text) for column in ("item", "supplier", "note"))
    if not said["item"]:
        cells.problems.append(Problem("item", "found nothing", "write the item's name", line=row.line))
    if cells.problems or unit is None or price is None or lead is None or not item:
        return None, cells.problems
    return Price(item, unit, price, pack, lead, supplier or "", dated, note or "", row.line), []


def _pack(text: str, unit: Unit) -> float:
    """A pack in units of the row: "4" or "4 L"."""
    try:
        size = measures.measure(text, "number")
    except Reading:
        if unit.dimension == "count":
            size = measures.measure(text.removesuffix("s").removesuffix(unit.name).strip(), "number")
        else:
            size = measures.measure(text, unit.dimension) / unit.factor
    if size <= 0:
        raise Reading(f"found {shown(text)}", "write a pack above zero, or leave it empty")
    return size


def read_prices(text: str) -> tuple[dict[str, tuple[Price, ...]], list[Problem]]:
    """The price book by `key(item)`, and what is wrong with it (without file names)."""
    book: dict[str, list[Price]] = {}
    found, problems = rows(text, COLUMNS)
    for one in found:
        row, wrong = _price(one)
        problems += wrong
        if row is None:
            continue
        others = book.setdefault(key(row.item), [])
        if others and others[0].unit.name != row.unit.name:
            wanted = f'write "{others[0].unit.name}" as in line {others[0].line}'
            problems.append(Problem(f"{row.item}.unit", f'found "{row.unit.name}"', wanted, line=one.line))
        if others and others[0].supplier != row.supplier:
            wanted = f'write "{others[0].supplier}" as in line {others[0].line}, or another item name'
            problems.append(Problem(f"{row.item}.supplier", f'found "{row.supplier}"', wanted, line=one.line))
        others.append(row)
    return {name: tuple(those) for name, those in book.items()}, problems
