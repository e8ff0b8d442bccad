"""The sheet "Prices": what one unit of every item costs, how old that is, and from when on it counts as old."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle

from quoting.documents.open_cells import amount_input
from quoting.documents.sheet_inputs import AGAIN, HEAD_ROW, write_inputs
from quoting.documents.sheet_looks import rate_format
from quoting.values import key

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.formulas.inputs import Input


def write_prices(book: Book, page: Page, inputs: list[Input], row: int) -> dict[str, str]:
    """Fill the sheet. Returns the cells it names: the age at which a price is old."""
    page.text("A1", "Prices", "title")
    if inputs:
        write_inputs(book, page, inputs)
    else:
        page.heads(HEAD_ROW, ("Input", "Value", "Unit"), figures="B")
    rows = {key(line.item): line for line in book.priced.buying}
    row = _write_pack_prices(book, page, row) + 1
    page.text(f"A{row}", "A price is old after [days]")
    amount_input(page, f"B{row}", book.priced.shop.pricing.stale_after, "General")
    page.heads(row + 2, ("Item", "Dated", "Supplier", "Lead time [days]", "Mark"), figures="D")
    first = row + 3
    named = [line for line in rows.values() if line.dated]
    book.dated.extend((f"Prices!$A${first}", f"Prices!$E${first + len(named) - 1}") if named else ())
    for at, line in enumerate(named, start=first):
        page.text(f"A{at}", line.item, "wrap")
        page.iso_day(f"B{at}", line.dated)
        page.text(f"C{at}", line.supplier, "wrap")
        page.number(f"D{at}", line.lead_days, "General")
        old = f'IF(AND(ISNUMBER(B{at}),priced_on-B{at}>$B${row}),"old price","")'
        page.formula(f"E{at}", old, "old price" if line.stale else "", "@")
    if named:
        red = DifferentialStyle(font=Font(bold=True, color="C00000"))
        rule = Rule("expression", dxf=red, formula=[f'$E{first}="old price"'])
        page.sheet.conditional_formatting.add(f"A{first}:E{first + len(named) - 1}", rule)
    return {"stale_after": f"Prices!$B${row}"}


def old_price(item: str, book: Book) -> str:
    """The formula of an item's mark, as the sheet "Prices" tells it."""
    if not book.dated:
        return '""'
    (sheet_a, first), (_, last) = (at.rsplit("$", 1) for at in book.dated)
    items = f"{sheet_a}${first}:$A${last}"
    return f'IFERROR(INDEX(Prices!$E${first}:$E${last},MATCH({item},{items},0)),"")'


def _write_pack_prices(book: Book, page: Page, row: int) -> int:
    """Prices of items in several packs, fixed: the cheapest packs are found by the command. Returns the next row."""
    for one in book.plan.pack_prices:
        size = f"pack of {one.pack:g} {one.unit}" if one.pack else "any amount"
        page.text(f"A{row}", f"{one.item}, {size}", "wrap")
        page.number(f"B{row}", one.price, rate_format(book.digits), "grey")
        page.text(f"C{row}", f"{book.currency} a {one.unit}")
        page.text(f"G{row}", AGAIN, "note")
        page.text(f"H{row}", f"prices.{one.item} (price book)", "note")
        row += 1
    return row
