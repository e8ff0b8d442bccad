"""The sheet "Buying": what to buy, in which packs, from whom, and by when."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from quoting.documents.sheet_paper import fit

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.pricing.record import Buying, Priced

HEAD = (
    "Item",
    "Needed",
    "Packs",
    "Bought",
    "Unit",
    "Amount",
    "Supplier",
    "Lead time [days]",
    "Price dated",
    "Mark",
)
FIRST = 2
AMOUNTS = "#,##0.00"
FIXED = "This sheet is fixed. Packs change in steps: for other quantities run the command again."


def write_buying(page: Page, priced: Priced) -> None:
    """Fill the sheet. All of it is fixed: another quantity may mean other packs, so the command is run again."""
    heads = [f"{head} [{priced.currency}]" if head == "Amount" else head for head in HEAD]
    page.heads(1, heads, figures="BDFH")
    for row, line in enumerate(priced.buying, start=FIRST):
        _write_line(page, row, line)
    end = FIRST + len(priced.buying)
    page.text(f"A{end}", "Total to buy", "sum")
    if priced.buying:
        page.formula(
            f"F{end}", f"ROUND(SUM(F{FIRST}:F{end - 1}),{priced.digits})", priced.cost["cash"], look="sum"
        )
    else:
        page.money(f"F{end}", 0, "sum")
    page.text(f"A{end + 2}", FIXED, "note")
    fit(page.sheet, A=34, B=12, C=22, D=12, E=9, F=14, G=22, H=11, I=13, J=12)


def _write_line(page: Page, row: int, line: Buying) -> None:
    page.text(f"A{row}", line.item, "wrap")
    page.number(f"B{row}", line.needed, AMOUNTS, "grey")
    page.text(f"C{row}", line.packs, "wrap")
    page.number(f"D{row}", line.bought, AMOUNTS, "grey")
    page.text(f"E{row}", line.unit)
    page.money(f"F{row}", line.amount, "grey")
    page.text(f"G{row}", line.supplier, "wrap")
    page.number(f"H{row}", line.lead_days, "0.#" if line.lead_days % 1 else "0", "grey")
    if line.dated:
        page.day(f"I{row}", date.fromisoformat(line.dated))
    page.text(f"J{row}", "old price" if line.stale else "", "sum" if line.stale else "plain")
