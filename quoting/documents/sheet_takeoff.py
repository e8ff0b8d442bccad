"""Take-off sheets: how every quantity was reached, a table for lines of one kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.utils import get_column_letter

from quoting.documents.open_cells import own_input
from quoting.documents.sheet_inputs import CHANGED, CHANGED_GUARDED, guard
from quoting.documents.sheet_names import heading, kind
from quoting.documents.sheet_tables import columns_shown, slots_of
from quoting.formulas.number import value_of

if TYPE_CHECKING:
    from quoting.costing.lines import Line
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.documents.sheet_tables import Table

FINE = "#,##0.00##"


def place_tables(book: Book, sheet: str, tables: list[Table], row: int) -> None:
    """Give every table its rows from `row` on, and let its cells stand for their numbers."""
    for table in tables:
        table.row, table.units = row + 1, columns_shown(table, book)
        first = table.row + 2
        for number, line in enumerate(table.lines):
            at = first + number
            for slot, dimension in slots_of(line).items():
                size = 1.0 if dimension == "text" else table.units[slot].size
                book.formulas.stand(line.basis.numbers[slot], f"{sheet}!${table.column(slot)}${at}", size)
            result = f"{sheet}!${table.result}${at}"
            book.results[line.id] = result
            if not table.own_hours:
                book.formulas.stand(line.quantity, result)
        row = first + len(table.lines)


def write_tables(book: Book, page: Page, tables: list[Table]) -> None:
    """Fill the tables: what goes in, and the quantity that comes out."""
    for number, table in enumerate(tables):
        if number == 0 or table.title != tables[number - 1].title:
            page.text(f"A{table.row}", table.title[:1].upper() + table.title[1:], "bold")
        labour = page.sheet.title == "Labour"
        heads = ["Part", "Task" if labour else "Item", *(_head(table, slot) for slot in table.slots)]
        units = " or ".join(dict.fromkeys(line.unit for line in table.lines))
        heads += ["reckoned [h]", "your hours [h]"] if table.own_hours else []
        result = f"hours [{units}]" if labour or page.sheet.title == "Machines" else f"line takes [{units}]"
        heads += [result, "Mark"] if table.own_hours else [result]
        page.heads(table.row + 1, heads, figures="", first_figure=3)
        for at, line in enumerate(table.lines, start=table.row + 2):
            page.text(f"A{at}", line.part, "wrap")
            task = book.plan.operations.get(line.id, "").replace("_", " ") or kind(line)
            page.text(f"B{at}", task if labour else line.item, "wrap")
            for slot, dimension in slots_of(line).items():
                one, cell = line.basis.numbers[slot], f"{table.column(slot)}{at}"
                if dimension == "text":
                    page.text(cell, one)
                else:
                    book.figure(page, cell, one, table.units[slot].shape, table.units[slot].size)
            if table.own_hours:
                _write_hours(book, page, table, at, line)
            else:
                book.figure(page, f"{table.result}{at}", line.quantity, FINE, look="bold")


def _write_hours(book: Book, page: Page, table: Table, at: int, line: Line) -> None:
    """Hours as reckoned, hours of the maker's own instead, and the ones that count."""
    reckoned, own = (str(get_column_letter(3 + len(table.slots) + i)) for i in (0, 1))
    book.figure(page, f"{reckoned}{at}", line.quantity, FINE)
    drawn = book.plan.moves_reserve(line)
    own_input(page, f"{own}{at}", FINE, drawn)
    if drawn:
        guard(page, f"{own}{at}")
    # A time of the maker's own is taken at the shop's pace, as one that the job file states.
    pace = book.formulas.of(book.plan.leaves["pace.factor"]).replace(f"{page.sheet.title}!", "")
    hours = f"IF(ISNUMBER({own}{at}),{own}{at}*{pace},{reckoned}{at})"
    page.formula(f"{table.result}{at}", hours, value_of(line.quantity), FINE, "bold")
    word = CHANGED_GUARDED if drawn else CHANGED
    page.formula(f"{table.mark}{at}", f'IF(ISNUMBER({own}{at}),"{word}","")', "", "@", "note")
    book.marks.append(f"{page.sheet.title}!${table.mark}${at}")


def _head(table: Table, slot: str) -> str:
    unit = table.units[slot].unit if slot in table.units else ""
    return f"{heading(slot)} [{unit}]" if unit else heading(slot)
