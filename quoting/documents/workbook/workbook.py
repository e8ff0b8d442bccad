"""The workbook of a priced job: live formulas that reach the engine's figures to the last digit."""

from collections.abc import Mapping, Sequence

from openpyxl.workbook.defined_name import DefinedName

from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import Page, book_bytes, new_book
from quoting.documents.workbook.contents import Contents, contents_of, write_trade
from quoting.documents.workbook.fixed import CUTS, RISK, write_cuts, write_risk
from quoting.documents.workbook.lines import write_lines
from quoting.documents.workbook.payments import write_sharing
from quoting.documents.workbook.prices import (
    place_buying,
    place_rates,
    write_buying,
    write_prices,
    write_rates,
)
from quoting.documents.workbook.rounding import write_rounding
from quoting.documents.workbook.selling import SELLING, write_selling
from quoting.documents.workbook.summary import write_summary
from quoting.formulas.plan import LivePlan
from quoting.pricing.channels import Selling
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced
from quoting.takeoff.delivery import channel_of


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
    cuts = [CUTS] if priced.plans else []
    names = [*contents.sheets, *cuts, *([RISK] if sure is not None else []), *([SELLING] if channels else [])]
    workbook, pages = new_book(names, priced.digits)
    for name, cell in _write(pages, book, contents).items():
        workbook.defined_names[name] = DefinedName(name, attr_text=cell)
    if cuts:
        write_cuts(pages[CUTS], priced)
    if sure is not None:
        write_risk(pages[RISK], priced, sure)
    if channels:
        write_selling(pages[SELLING], priced, channels)
    return book_bytes(workbook, pages, priced, f"Price of {priced.job.piece.title}")


def _write(pages: Mapping[str, Page], book: Book, contents: Contents) -> Mapping[str, str]:
    """Fill all sheets. Returns the cell of every named figure."""
    own = channel_of(book.priced.job, book.priced.shop).tax
    if "tax.rate" in book.plan.leaves and own is None:
        book.formulas.stand(book.plan.leaves["tax.rate"], "tax_rate")
    contents.place(book)
    place_rates(book, contents.free["Rates"])
    place_buying(book)
    for name in contents.trades:
        write_trade(book, pages[name], contents)
    named = write_prices(book, pages["Prices"], contents.inputs["Prices"], contents.free["Prices"])
    write_rates(book, pages["Rates"], contents.inputs["Rates"], contents.free["Rates"])
    named |= write_buying(book, pages["Buying"])
    lines = write_lines(book, pages["Lines"])
    rows, payments_row = write_summary(pages["Price"], book, lines)
    write_rounding(pages["Steps"], book.priced)
    write_sharing(pages["Steps"], book.priced, payments_row)
    for row, (formula, value) in enumerate(book.formulas.parts, start=1):
        pages["Steps"].formula(f"N{row}", formula, value, "#,##0.00##")
    return {**rows.names, **named}
