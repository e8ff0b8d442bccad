"""The workbook of a priced job: live formulas that reach the engine's figures to the last digit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from openpyxl.workbook.defined_name import DefinedName

from quoting.costing.lines import Line
from quoting.documents.workbook import listings as lists
from quoting.documents.workbook.book import Book, book_bytes, new_book
from quoting.documents.workbook.cells import FINE, Page
from quoting.documents.workbook.extras import CUTS, RISK, SELLING, write_cuts, write_risk, write_selling
from quoting.documents.workbook.inputs import place_inputs, write_inputs
from quoting.documents.workbook.steps import write_rounding, write_sharing
from quoting.documents.workbook.summary import write_summary
from quoting.documents.workbook.take_off import LABOUR, Table, place_tables, tables_of, write_tables
from quoting.formulas.formula import ASIDE
from quoting.formulas.inputs import Input
from quoting.formulas.number import Number
from quoting.formulas.plan import LivePlan
from quoting.pricing.channels import Selling
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced
from quoting.takeoff.delivery import channel_of
from quoting.trades.registry import derived, groups, trades

HOMES = {
    "pay": "Rates", "overhead": "Rates", "machine": "Rates", "sundries": "Rates", "supplier": "Rates",
    "channel": "Rates", "pace": LABOUR, "standard": LABOUR, "delivery": "Delivery", "prices": "Prices",
}  # fmt: skip
"""The sheet of inputs by the section they stand in; others stand on the first sheet that needs them."""


@derived
def take_off_sheets() -> dict[str, str]:
    """The take-off sheet of every group of lines that rests on the piece, in printed order."""
    own = {name: group.sheet for name, group in groups().items()}
    return {**own, "labour": LABOUR, "machine": "Machines", "delivery_carried": "Delivery"}


def home(line: Line) -> str:
    """The take-off sheet of a line; "" for lines of the job as a whole."""
    allowed = line.group in groups() and groups()[line.group].kind == "allowance"
    return LABOUR if allowed and line.unit == "h" else take_off_sheets().get(line.group, "")


def home_of(one: Input, first_use: str) -> str:
    """The sheet on which an input stands; one of a part of the job stands with that part."""
    section = one.path.partition(".")[0]
    of_part = one.source == "job file" and section in trades()
    return first_use if of_part else HOMES.get(section, first_use)


@dataclass(slots=True)
class Contents:
    """Inputs and tables by sheet. `free` is the first row below the inputs."""

    inputs: dict[str, list[Input]]
    tables: dict[str, list[Table]]
    free: dict[str, int] = field(default_factory=dict)

    @property
    def trades(self) -> list[str]:
        """The take-off sheets of this job, in order."""
        every = dict.fromkeys(take_off_sheets().values())
        return [name for name in every if name in self.tables or name in self.inputs]


def contents_of(book: Book) -> Contents:
    """Share out inputs and lines over the sheets; an input stands where it is used first."""
    lines: dict[str, list[Line]] = {}
    homes: dict[str, str] = {}
    for line in book.plan.lines:
        if sheet := home(line):
            lines.setdefault(sheet, []).append(line)
        figures: tuple[Any, ...] = (line.quantity, line.rate)
        used = frozenset().union(*(one.inputs for one in figures if isinstance(one, Number)))
        for path, one in book.plan.inputs.items():
            if path in used:
                homes.setdefault(path, home_of(one, sheet or "Rates"))
    inputs: dict[str, list[Input]] = {"Prices": [], "Rates": []}
    for path in dict.fromkeys((*homes, *book.plan.inputs)):
        if path != "tax.rate":  # it stands on the sheet Price
            one = book.plan.inputs[path]
            inputs.setdefault(homes.get(path) or home_of(one, "Rates"), []).append(one)
    return Contents(inputs, {name: tables_of(book, name, those) for name, those in lines.items()})


def write_trade(book: Book, page: Page, contents: Contents) -> None:
    """Fill a take-off sheet: its inputs, then its tables."""
    name = page.sheet.title
    page.text("A1", f"{name}: take-off" if name != "Delivery" else "Delivery: the trip", "title")
    inputs = contents.inputs.get(name, [])
    if inputs:
        write_inputs(book, page, inputs)
    else:
        page.text("A3", "Nothing here can be changed without writing this workbook again.", "note")
    write_tables(book, page, contents.tables.get(name, []))


def workbook_bytes(
    priced: Priced, plan: LivePlan, sure: Outlook | None = None, channels: Sequence[Selling] = ()
) -> bytes:
    """The workbook as an .xlsx file: the same job gives the same bytes.

    Nothing of the model is reckoned here. `plan` is the plan in numbers that remember; every formula
    carries the value the engine found, so that previews show figures and a recalculation can be held
    against them. `sure` are its draws, which no sheet can follow: they stand as they were drawn. `channels` is
    what the piece can be sold for.
    """
    book = Book(priced, plan)
    contents = contents_of(book)
    names = ["Price", "Lines", *contents.trades, "Buying", "Prices", "Rates", "Steps"]
    more = {CUTS: bool(priced.plans), RISK: sure is not None, SELLING: bool(channels)}
    workbook, pages = new_book((*names, *(name for name, there in more.items() if there)), priced.digits)
    for name, cell in _write(pages, book, contents).items():
        workbook.defined_names[name] = DefinedName(name, attr_text=cell)
    if priced.plans:
        write_cuts(pages[CUTS], priced)
    if sure is not None:
        write_risk(pages[RISK], priced, sure)
    if channels:
        write_selling(pages[SELLING], priced, channels)
    return book_bytes(workbook, pages, priced, f"Price of {priced.job.piece.title}")


def _write(pages: Mapping[str, Page], book: Book, contents: Contents) -> Mapping[str, str]:
    """Fill all sheets. Returns the cell of every named figure."""
    if "tax.rate" in book.plan.leaves and channel_of(book.priced.job, book.priced.shop).tax is None:
        book.formulas.stand(book.plan.leaves["tax.rate"], "tax_rate")
    for name in (*contents.trades, "Prices", "Rates"):
        contents.free[name] = place_inputs(book, name, contents.inputs.get(name, []))
    for name, tables in contents.tables.items():
        place_tables(book, name, tables, contents.free[name])
    lists.place_rates(book, contents.free["Rates"])
    lists.place_buying(book)
    for name in contents.trades:
        write_trade(book, pages[name], contents)
    named = lists.write_prices(book, pages["Prices"], contents.inputs["Prices"], contents.free["Prices"])
    lists.write_rates(book, pages["Rates"], contents.inputs["Rates"], contents.free["Rates"])
    named |= lists.write_buying(book, pages["Buying"])
    lists.write_lines(book, pages["Lines"])
    rows, payments_row = write_summary(pages["Price"], book)
    write_rounding(pages["Steps"], book.priced)
    write_sharing(pages["Steps"], book.priced, payments_row)
    for row, (formula, value) in enumerate(book.formulas.parts, start=1):
        pages["Steps"].formula(f"{ASIDE}{row}", formula, value, FINE)
    return {**rows.names, **named}
