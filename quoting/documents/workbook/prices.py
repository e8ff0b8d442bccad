"""The sheets "Rates", "Prices" and "Buying": what an hour and an item cost, and what to buy from whom by when."""

from datetime import date

from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import Page, half_up, rounded
from quoting.documents.workbook.inputs import AGAIN, HEAD_ROW, write_inputs
from quoting.documents.workbook.looks import rate_format, red_where
from quoting.documents.workbook.open_cells import amount_input
from quoting.formulas.inputs import Input
from quoting.formulas.number import value_of
from quoting.formulas.plan import Bought
from quoting.money import exact
from quoting.pricing.record import Buying
from quoting.values import key

FIRST = 2
AMOUNTS = "#,##0.00##"
FIXED = "Grey figures are fixed: run the command again, which finds the cheapest of several packs."


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
        page.day(f"B{at}", date.fromisoformat(line.dated))
        page.text(f"C{at}", line.supplier, "wrap")
        page.number(f"D{at}", line.lead_days, "General")
        old = f'IF(AND(ISNUMBER(B{at}),priced_on-B{at}>$B${row}),"old price","")'
        page.formula(f"E{at}", old, "old price" if line.stale else "", "@")
    if named:
        red_where(page.sheet, f"A{first}:E{first + len(named) - 1}", f'$E{first}="old price"')
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


def place_buying(book: Book) -> None:
    """Let the cells stand for what is needed and bought of everything."""
    for row, one in enumerate(book.plan.bought, start=FIRST):
        book.formulas.stand(one.needed, f"Buying!$B${row}")
        book.formulas.stand(one.bought, f"Buying!$D${row}")


def write_buying(book: Book, page: Page) -> dict[str, str]:
    """Fill the sheet. Returns the cell of what all of it costs, by its name."""
    money = book.currency
    heads = (
        "Item", "Needed", "In packs of", "Bought", "Unit", f"Amount [{money}]", "Supplier", "Lead time [days]", "Mark",
    )  # fmt: skip
    page.heads(1, heads, figures="BDFH")
    known = {(key(line.item), line.unit, line.supplier): line for line in book.priced.buying}
    for row, one in enumerate(book.plan.bought, start=FIRST):
        _write(book, page, row, one, known.get((key(one.item), one.unit, one.supplier)))
    end = FIRST + len(book.plan.bought)
    page.text(f"A{end}", "Total to buy", "sum")
    total = rounded(f"SUM(F{FIRST}:F{end - 1})", book.digits) if end > FIRST else "0"
    page.formula(f"F{end}", total, book.priced.cost["cash"], look="sum")
    page.text(f"A{end + 2}", FIXED, "note")
    return {"cash_to_buy": f"Buying!$F${end}"}


def _write(book: Book, page: Page, row: int, one: Bought, line: Buying | None) -> None:
    page.text(f"A{row}", one.item, "wrap")
    book.figure(page, f"B{row}", one.needed, AMOUNTS)
    packs = f"{one.pack:g} {one.unit}" if one.pack else (line.packs if line else "with the order")
    page.text(f"C{row}", packs, "wrap")
    book.figure(page, f"D{row}", one.bought, AMOUNTS)
    page.text(f"E{row}", one.unit)
    paid = sum(exact(float(value_of(part)), book.digits) for part in one.costs)
    amounts = [half_up(book.formulas.of(part), book.digits) for part in one.costs]
    text = "+".join(amounts).replace("Buying!", "")
    if "!" in text or "$" in text:
        page.formula(f"F{row}", text, paid)
    else:
        page.money(f"F{row}", paid, "grey")
    page.text(f"G{row}", one.supplier, "wrap")
    if line is not None:
        page.number(f"H{row}", line.lead_days, "General")
        page.formula(f"I{row}", old_price(f"A{row}", book), "old price" if line.stale else "", "@", "bold")
