"""Take-off sheets: how every quantity was reached, a table for lines of one kind."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter as _letter

from quoting.costing.lines import Line
from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import FINE, Page
from quoting.documents.workbook.inputs import CHANGED, CHANGED_GUARDED, PARTS, Shown, own_input, shown_as
from quoting.formulas.number import value_of
from quoting.job.starters import words_of
from quoting.takeoff.labour import own_time_lines

HEADINGS = {
    "n": "number", "driver": "count", "most": "largest mix", "least": "least charge", "setup": "set-up",
    "running": "running time", "load": "loading", "free": "free distance", "rate": "pay an hour",
    "overhead": "overhead an hour",
}  # fmt: skip
"""Slots of a basis of several trades, or of none, whose own name does not read as a heading; trades say theirs in words."""

LABOUR = "Labour"
"""The sheet whose tables hold hours, and where the maker may state hours instead."""

TITLES = {"carried": "trip in the price", "packs": "in whole packs"}
"""Kinds of lines of several trades, or of none, whose own word does not read as the title of a table."""

SLOT = re.compile(r"{(\w+)(?::(\w+))?}")
FIRST_SLOT = 3  # behind part and item
FEW_MINUTES_H = 0.1
ALIKE = 0.5  # tables are joined where at least this part of their columns is common


def heading(slot: str, line: Line) -> str:
    """The heading of a column: the name of a slot of the lines below it, of which this is one, as their trade says it."""
    return _said(line, "headings").get(slot) or HEADINGS.get(slot) or slot.replace("_", " ")


def kind(line: Line) -> str:
    """What a line is, as the heading of its table: the last word of its id, without a number."""
    last = line.id.rpartition(".")[2].rstrip("0123456789").rstrip("-")
    return last.replace("-", " ").replace("_", " ")


def title_of(line: Line) -> str:
    """The title of the table that a line stands in, as its trade calls a kind by its first word."""
    own = kind(line)
    return _said(line, "titles").get(own.partition(" ")[0]) or TITLES.get(own, own)


def _said(line: Line, table: str) -> Mapping[str, str]:
    """A table of the words of a line's trade."""
    found: Mapping[str, str] = words_of(line.id.partition(".")[0]).get(table, {})
    return found


@dataclass(slots=True)
class Table:
    """Lines of one kind, their columns (slots of the basis with their dimension), and where the table stands.

    `units` is how every column is shown, known once all lines are there.
    """

    title: str
    lines: list[Line]
    slots: dict[str, str]
    own_hours: bool = False
    row: int = 0
    units: dict[str, Shown] = field(default_factory=dict)

    def column(self, slot: str) -> str:
        """The letter of a slot's column."""
        return _letter(FIRST_SLOT + list(self.slots).index(slot))

    def beyond(self, places: int) -> str:
        """The letter of a column so many places behind the slots."""
        return _letter(FIRST_SLOT + len(self.slots) + places)

    @property
    def result(self) -> str:
        """The letter of the quantity that the line takes over: behind hours as reckoned and of the maker's own."""
        return self.beyond(2 if self.own_hours else 0)


def columns_shown(table: Table, book: Book) -> dict[str, Shown]:
    """How each column is shown: in the unit that suits its largest value, minutes where one is minutes."""
    values: dict[str, list[float]] = defaultdict(list)
    for line in table.lines:
        for slot, dimension in slots_of(line).items():
            if dimension != "text":
                values[slot].append(abs(float(value_of(line.basis.numbers[slot]))))
    shown = {}
    for slot, those in values.items():
        least = min(filter(None, those), default=0.0)
        suits = least if table.slots[slot] == "time" and least < FEW_MINUTES_H else max(those)
        shown[slot] = shown_as(table.slots[slot], suits, book)
        if shown[slot].shape == "General" and any(value % 1 for value in those):
            shown[slot] = shown[slot]._replace(shape=PARTS)
    return shown


def slots_of(line: Line) -> dict[str, str]:
    """The slots of a line's basis that hold numbers, by name, with their dimension."""
    numbers, found = line.basis.numbers, {name: of or "text" for name, of in SLOT.findall(line.basis.words)}
    return {name: of for name, of in found.items() if of != "text" or isinstance(numbers[name], str)}


def tables_of(book: Book, sheet: str, lines: Iterable[Line]) -> list[Table]:
    """Lines of a sheet in tables: those that are reckoned alike stand below one another."""
    tables: list[Table] = []
    for line in lines:
        slots, labour = slots_of(line), sheet == LABOUR
        title = "hours" if labour else title_of(line)
        own = labour and own_time_lines(line.id, book.plan.operations.get(line.id, ""))
        for table in tables:
            common, either = slots.keys() & table.slots.keys(), slots.keys() | table.slots.keys()
            same = (title, own) == (table.title, table.own_hours)
            same = same and all(table.slots[name] == slots[name] for name in common)
            if same and len(common) >= ALIKE * len(either):
                table.lines.append(line)
                table.slots |= slots  # those in common are the same
                break
        else:
            tables.append(Table(title, [line], dict(slots), own))
    return tables


def place_tables(book: Book, sheet: str, tables: list[Table], row: int) -> None:
    """Give every table its rows from `row` on, and let its cells stand for their numbers."""
    for table in tables:
        table.row, table.units = row + 1, columns_shown(table, book)
        for at, line in enumerate(table.lines, start=table.row + 2):
            for slot, dimension in slots_of(line).items():
                size = 1.0 if dimension == "text" else table.units[slot].size
                book.formulas.stand(line.basis.numbers[slot], f"{sheet}!${table.column(slot)}${at}", size)
            result = f"{sheet}!${table.result}${at}"
            book.results[line.id] = result
            if not table.own_hours:
                book.formulas.stand(line.quantity, result)
        row = table.row + 2 + len(table.lines)


def write_tables(book: Book, page: Page, tables: list[Table]) -> None:
    """Fill the tables: what goes in, and the quantity that comes out."""
    for number, table in enumerate(tables):
        if number == 0 or table.title != tables[number - 1].title:
            page.text(f"A{table.row}", table.title[:1].upper() + table.title[1:], "bold")
        labour = page.sheet.title == LABOUR
        heads = ["Part", "Task" if labour else "Item", *(_head(table, slot) for slot in table.slots)]
        units = " or ".join(dict.fromkeys(line.unit for line in table.lines))
        result = f"hours [{units}]" if labour or page.sheet.title == "Machines" else f"line takes [{units}]"
        heads += ["reckoned [h]", "your hours [h]", result, "Mark"] if table.own_hours else [result]
        page.heads(table.row + 1, heads, figures="", first_figure=FIRST_SLOT)
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
    reckoned, own, mark = (table.beyond(places) for places in (0, 1, 3))
    book.figure(page, f"{reckoned}{at}", line.quantity, FINE)
    drawn = book.plan.moves_reserve(line)
    own_input(page, f"{own}{at}", FINE, drawn)
    # A time of the maker's own is taken at the shop's pace, as one that the job file states.
    pace = book.formulas.of(book.plan.leaves["pace.factor"]).replace(f"{page.sheet.title}!", "")
    hours = f"IF(ISNUMBER({own}{at}),{own}{at}*{pace},{reckoned}{at})"
    page.formula(f"{table.result}{at}", hours, value_of(line.quantity), FINE, "bold")
    word = CHANGED_GUARDED if drawn else CHANGED
    page.formula(f"{mark}{at}", f'IF(ISNUMBER({own}{at}),"{word}","")', "", "@", "note")
    book.marks.append(f"{page.sheet.title}!${mark}${at}")


def _head(table: Table, slot: str) -> str:
    unit = table.units[slot].unit if slot in table.units else ""
    words = heading(slot, next(line for line in table.lines if slot in slots_of(line)))
    return f"{words} [{unit}]" if unit else words
