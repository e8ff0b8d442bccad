"""What stands on which sheet: inputs and tables of every trade, and their rows."""

from dataclasses import dataclass, field
from typing import Any

from quoting.costing.lines import Line
from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import Page
from quoting.documents.workbook.inputs import home_of, place_inputs, write_inputs
from quoting.documents.workbook.names import home, take_off_sheets
from quoting.documents.workbook.take_off import Table, place_tables, tables_of, write_tables
from quoting.formulas.inputs import Input
from quoting.formulas.number import Number
from quoting.takeoff.labour import own_time_lines


@dataclass(slots=True)
class Contents:
    """Inputs and tables by sheet. `free` is the first row below the inputs."""

    inputs: dict[str, list[Input]]
    tables: dict[str, list[Table]]
    free: dict[str, int] = field(default_factory=dict)

    @property
    def trades(self) -> list[str]:
        """The take-off sheets of this job, in order."""
        return [
            name
            for name in (*dict.fromkeys(take_off_sheets().values()), "Delivery")
            if name in self.tables or name in self.inputs
        ]

    @property
    def sheets(self) -> list[str]:
        """All sheets, in order."""
        return ["Price", "Lines", *self.trades, "Buying", "Prices", "Rates", "Steps"]

    def place(self, book: Book) -> None:
        """Give every input and every figure of a table its cell."""
        for name in (*self.trades, "Prices", "Rates"):
            self.free[name] = place_inputs(book, name, self.inputs.get(name, []))
        for name, tables in self.tables.items():
            place_tables(book, name, tables, self.free[name])


def contents_of(book: Book) -> Contents:
    """Share out inputs and lines over the sheets; an input stands where it is used first."""
    lines: dict[str, list[Line]] = {}
    inputs: dict[str, list[Input]] = {"Prices": [], "Rates": []}
    placed = {"tax.rate"}
    for line in book.plan.lines:
        sheet = home(line)
        if sheet:
            lines.setdefault(sheet, []).append(line)
    order = {path: number for number, path in enumerate(book.plan.inputs)}
    for line in book.plan.lines:
        figures: tuple[Any, ...] = (line.quantity, line.rate)
        used = [one for one in figures if isinstance(one, Number)]
        names = frozenset().union(*(one.inputs for one in used)) if used else frozenset()
        for path in sorted(names & book.plan.inputs.keys() - placed, key=order.__getitem__):
            inputs.setdefault(home_of(book.plan.inputs[path], home(line) or "Rates"), []).append(
                book.plan.inputs[path]
            )
            placed.add(path)
    for path, one in book.plan.inputs.items():
        if path not in placed:
            inputs.setdefault(home_of(one, "Rates"), []).append(one)
    operations = book.plan.operations
    own = frozenset(
        one.id for one in lines.get("Labour", []) if own_time_lines(one.id, operations.get(one.id, ""))
    )
    return Contents(inputs, {name: tables_of(those, name == "Labour", own) for name, those in lines.items()})


def write_trade(book: Book, page: Page, contents: Contents) -> None:
    """Fill a take-off sheet: its inputs, then its tables."""
    name = page.sheet.title
    page.text("A1", f"{name}: take-off" if name != "Delivery" else "Delivery: the trip", "title")
    inputs = contents.inputs.get(name, [])
    if inputs:
        write_inputs(book, page, inputs)
    else:
        page.text("A3", "Nothing here can be changed without running the command again.", "note")
    write_tables(book, page, contents.tables.get(name, []))
