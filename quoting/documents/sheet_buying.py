"""The sheet "Buying": what to buy, in which packs, from whom, and by when."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.cells import half_up, rounded
from quoting.documents.sheet_prices import old_price
from quoting.live.number import value_of
from quoting.money import exact
from quoting.values import key

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.live.bought import Bought
    from quoting.pricing.record import Buying

FIRST = 2
AMOUNTS = "#,##0.00##"
FIXED = "Grey figures are fixed: run the command again, which finds the cheapest of several packs."


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
