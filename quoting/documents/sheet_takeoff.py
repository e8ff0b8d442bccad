"""Take-off sheets: how every quantity was reached, a table for lines of one kind."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from openpyxl.utils import get_column_letter

from quoting.documents.sheet_inputs import guard, shown_as
from quoting.documents.sheet_names import heading, kind
from quoting.live.number import Number, value_of
from quoting.takeoff.labour import own_time_lines

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quoting.costing.lines import Line
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book

SLOT = re.compile(r"{(\w+)(?::(\w+))?}")
ALIKE = 0.5  # tables are joined where at least this part of their columns is common
FINE = "#,##0.00##"


@dataclass(slots=True)
class Table:
    """Lines of one kind, their columns (slots of the basis with their dimension), and where the table stands."""

    title: str
    lines: list[Line]
    slots: dict[str, str]
    row: int = 0
    own_hours: bool = field(default=False)

    def column(self, slot: str) -> str:
        """The letter of a slot's column."""
        return str(get_column_letter(3 + list(self.slots).index(slot)))

    @property
    def result(self) -> str:
        """The letter of the last column: the quantity that the line takes over."""
        return str(get_column_letter(3 + len(self.slots) + (2 if self.own_hours else 0)))


def slots_of(line: Line) -> dict[str, str]:
    """The slots of a line's basis that hold numbers, by name, with their dimension."""
    found = {name: of or "text" for name, of in SLOT.findall(line.basis.words)}
    return {
        name: of for name, of in found.items() if of != "text" or isinstance(line.basis.numbers[name], str)
    }


def tables_of(lines: Iterable[Line], labour: bool) -> list[Table]:
    """Lines of a sheet in tables: those that are reckoned alike stand below one another."""
    tables: list[Table] = []
    for line in lines:
        slots = slots_of(line)
        for table in tables:
            common, either = slots.keys() & table.slots.keys(), slots.keys() | table.slots.keys()
            same = all(table.slots[name] == slots[name] for name in common)
            if same and (labour or table.title == kind(line)) and len(common) >= ALIKE * len(either):
                table.lines.append(line)
                table.slots |= {name: of for name, of in slots.items() if name not in table.slots}
                break
        else:
            title = "hours" if labour else kind(line)
            tables.append(Table(title, [line], dict(slots), own_hours=labour))
    return tables


def place_tables(book: Book, sheet: str, tables: list[Table], row: int) -> None:
    """Give every table its rows from `row` on, and let its cells stand for their numbers."""
    for table in tables:
        table.row = row + 1
        first = table.row + 2
        for number, line in enumerate(table.lines):
            at = first + number
            for slot, dimension in slots_of(line).items():
                size = 1.0 if dimension == "text" else _size(book, table, slot)
                book.formulas.stand(line.basis.numbers[slot], f"{sheet}!${table.column(slot)}${at}", size)
            result = f"{sheet}!${table.result}${at}"
            book.results[line.id] = result
            if not table.own_hours:
                book.formulas.stand(line.quantity, result)
        row = first + len(table.lines)


def write_tables(book: Book, page: Page, tables: list[Table]) -> None:
    """Fill the tables: what goes in, and the quantity that comes out."""
    for table in tables:
        page.text(f"A{table.row}", table.title[:1].upper() + table.title[1:], "sum")
        heads = ["Part", "Item", *(_head(book, table, slot) for slot in table.slots)]
        units = " or ".join(dict.fromkeys(line.unit for line in table.lines))
        heads += ["reckoned [h]", "your hours [h]"] if table.own_hours else []
        page.heads(table.row + 1, [*heads, f"quantity [{units}]"], figures="", first_figure=3)
        for at, line in enumerate(table.lines, start=table.row + 2):
            page.text(f"A{at}", line.part, "wrap")
            page.text(f"B{at}", kind(line) if table.own_hours else line.item, "wrap")
            for slot, dimension in slots_of(line).items():
                _write_slot(
                    book, page, f"{table.column(slot)}{at}", table, slot, line.basis.numbers[slot], dimension
                )
            if table.own_hours:
                _write_hours(book, page, table, at, line)
            else:
                book.figure(page, f"{table.result}{at}", line.quantity, FINE, look="sum")


def _write_slot(book: Book, page: Page, at: str, table: Table, slot: str, one: Any, dimension: str) -> None:
    if dimension == "text":
        page.text(at, one)
        return
    as_ = shown_as(dimension, _largest(table, slot), book)
    book.figure(page, at, one, as_.shape, as_.size)


def _write_hours(book: Book, page: Page, table: Table, at: int, line: Line) -> None:
    """Hours as reckoned, hours of the maker's own instead, and the ones that count."""
    reckoned, own = (str(get_column_letter(3 + len(table.slots) + i)) for i in (0, 1))
    book.figure(page, f"{reckoned}{at}", line.quantity, FINE)
    hours = f"{reckoned}{at}"
    if own_time_lines(line.id, book.plan.operations.get(line.id, "")):
        drawn = isinstance(line.quantity, Number) and bool(line.quantity.inputs & book.plan.uncertain)
        page.own_input(f"{own}{at}", FINE, drawn)
        if drawn:
            guard(page, f"{own}{at}")
        # A time of the maker's own is taken at the shop's pace, as one that the job file states.
        pace = book.formulas.of(book.plan.leaves["pace.factor"]).replace(f"{page.sheet.title}!", "")
        hours = f"IF(ISNUMBER({own}{at}),{own}{at}*{pace},{reckoned}{at})"
    page.formula(f"{table.result}{at}", hours, value_of(line.quantity), FINE, "sum")


def _head(book: Book, table: Table, slot: str) -> str:
    dimension = table.slots[slot]
    unit = "" if dimension == "text" else shown_as(dimension, _largest(table, slot), book).unit
    return f"{heading(slot)} [{unit}]" if unit else heading(slot)


def _size(book: Book, table: Table, slot: str) -> float:
    return shown_as(table.slots[slot], _largest(table, slot), book).size


def _largest(table: Table, slot: str) -> float:
    """The largest value of a column: all of it is shown in the unit that suits this one."""
    values = (line.basis.numbers.get(slot) for line in table.lines if slot in slots_of(line))
    return max((abs(float(value_of(one))) for one in values if not isinstance(one, str)), default=0.0)
