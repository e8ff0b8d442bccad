"""The price book: one row an item and pack. Prices are for one unit, not for the pack."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, TypeVar

from quoting import measures
from quoting.errors import Problem, Reading
from quoting.inputs.fields import shown, text
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Callable

    from quoting.measures import Unit

T = TypeVar("T")
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


def _row(cells: dict[str, str], line: int) -> tuple[Price | None, list[Problem]]:
    problems: list[Problem] = []

    def read(column: str, reader: Callable[[str], T]) -> T | None:
        """The cell of a column; None, and a problem noted, where it cannot be read."""
        try:
            return reader(cells[column])
        except Reading as reading:
            field = f"{cells['item'] or 'row'}.{column}"
            problems.append(Problem(field, reading.found, reading.write, line=line))
            return None

    unit = read("unit", measures.unit)
    price = read("price", lambda said: measures.measure(said, "money"))
    lead = read("lead", lambda said: measures.measure(said, "time") / 24) if cells["lead"] else 0.0
    dated = read("dated", _day) if cells["dated"] else None
    pack = read("pack", lambda said: _pack(said, unit)) if cells["pack"] and unit else None
    item, supplier, note = (read(column, text) for column in ("item", "supplier", "note"))
    if not cells["item"]:
        problems.append(Problem("item", "found nothing", "write the item's name", line=line))
    if problems or unit is None or price is None or lead is None or not item:
        return None, problems
    return Price(item, unit, price, pack, lead, supplier or "", dated, note or "", line), []


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Reading(f"found {shown(text)}", "write a day such as 2027-03-01") from None


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
    lines = text.lstrip("\ufeff").splitlines()
    if not lines or lines[0].replace(" ", "").rstrip(",") != "#format=1":
        return {}, [Problem("format", "found no format", "write # format = 1 in the first line", line=1)]
    header = [cell.strip() for cell in (_cells(lines[1]) or [])] if len(lines) > 1 else []
    if tuple(header) != COLUMNS:
        if any(";" in cell for cell in header):
            return {}, [Problem("header", "found semicolons", "write commas between columns", line=2)]
        return {}, [Problem("header", f"found {','.join(header)}", f"write {','.join(COLUMNS)}", line=2)]
    book: dict[str, list[Price]] = {}
    problems: list[Problem] = []
    for line, text_line in enumerate(lines[2:], start=3):
        if not text_line.strip(" ,") or text_line.lstrip().startswith("#"):
            continue
        row, wrong = _line(text_line, line)
        problems += wrong
        if row is None:
            continue
        others = book.setdefault(key(row.item), [])
        if others and others[0].unit.name != row.unit.name:
            wanted = f'write "{others[0].unit.name}" as in line {others[0].line}'
            problems.append(Problem(f"{row.item}.unit", f'found "{row.unit.name}"', wanted, line=line))
        if others and others[0].supplier != row.supplier:
            wanted = f'write "{others[0].supplier}" as in line {others[0].line}, or another item name'
            problems.append(Problem(f"{row.item}.supplier", f'found "{row.supplier}"', wanted, line=line))
        others.append(row)
    return {name: tuple(rows) for name, rows in book.items()}, problems


def _cells(text_line: str) -> list[str] | None:
    """The cells of one line; None where a quote is left open. A row is a line: an open quote must not
    swallow the rows below it.
    """
    try:
        return next(csv.reader([text_line], strict=True))
    except csv.Error:
        return None


def _line(text_line: str, line: int) -> tuple[Price | None, list[Problem]]:
    cells = _cells(text_line)
    if cells is None:
        start = text_line[:40]
        return None, [
            Problem("row", f"found a quote left open in {start}", "write quotes in pairs, or none", line=line)
        ]
    if len(cells) > len(COLUMNS):
        wanted = f"write {len(COLUMNS)}, text with commas in quotes"
        return None, [Problem(cells[0] or "row", f"found {len(cells)} columns", wanted, line=line)]
    cells += [""] * (len(COLUMNS) - len(cells))
    return _row(dict(zip(COLUMNS, (cell.strip() for cell in cells), strict=True)), line)
