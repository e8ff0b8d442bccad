"""The sheet "Rates": what an hour costs, and how that is built up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.sheet_inputs import write_inputs
from quoting.documents.sheet_looks import rate_format

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.formulas.inputs import Input


def place_rates(book: Book, row: int) -> None:
    """Let a cell stand for every rate."""
    for at, rate in enumerate(book.plan.rates.values(), start=row + 2):
        book.formulas.stand(rate.per_hour, f"Rates!$B${at}")


def write_rates(book: Book, page: Page, inputs: list[Input], row: int) -> None:
    """Fill the sheet: what rates are made of, then the rates."""
    page.text("A1", "Rates", "title")
    write_inputs(book, page, inputs)
    page.heads(row + 1, ("Rate", f"An hour [{book.currency}]", "How it was built up at first"), figures="B")
    words = {rate.name: rate.words for rate in book.priced.rates}
    for at, (name, rate) in enumerate(book.plan.rates.items(), start=row + 2):
        page.text(f"A{at}", name.replace(".", ": ", 1))
        book.figure(page, f"B{at}", rate.per_hour, rate_format(book.digits), look="bold")
        page.text(f"C{at}", words[name], "note")
