"""Rows of the sheet "Price": a label, a figure with a name, a remark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.workbook.inputs import CHANGED
from quoting.documents.workbook.open_cells import amount_input, choice_input, share_input

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.documents.workbook.cells import Page
    from quoting.documents.workbook.looks import Look
    from quoting.pricing.record import Priced


PATHS = {
    "reserve_share": "pricing.contingency", "margin_wanted": "pricing.margin (or price.margin of the job)",
    "tax_rate": "tax.rate", "tax_shown": "tax.shown", "tax_on_delivery": "tax.on_delivery",
    "rush": "price.rush of the job, at pricing.rush", "least_price": "pricing.least_price",
    "round_to": "pricing.round_to", "discount_share": "price.discount of the job",
    "discount_amount": "price.discount of the job", "floor_margin": "pricing.floor_margin",
}  # fmt: skip
"""Where the inputs of this sheet stand in the files."""


class PriceRows:
    """Writes from `row` downwards. `names` collects the cell of every named figure, `marks` those that tell a change."""

    def __init__(self, page: Page, priced: Priced, row: int, marks: list[str]) -> None:
        self.page, self.priced, self.row, self.marks = page, priced, row, marks
        self.names: dict[str, str] = {}

    def head(self, *words: str) -> None:
        """A heading above a group of rows, after an empty row."""
        self.row += 1
        self.page.heads(self.row, (*words, *[""] * (7 - len(words))), figures="BCD")
        self.row += 1

    def figure(self, words: str, name: str, remark: str = "", look: Look = "plain") -> str:
        """A row's label, name and remark; returns the cell for its figure."""
        at = f"B{self.row}"
        self.page.text(f"A{self.row}", words, look)
        if remark:
            self.page.text(f"C{self.row}", remark, "note")
        self.names[name] = f"Price!$B${self.row}"
        self.row += 1
        return at

    def reckoned(
        self, words: str, name: str, formula: str, value: Decimal | float | str, *,
        shape: str = "", look: Look = "plain", remark: str = "",
    ) -> None:  # fmt: skip
        """A row that follows from others."""
        self.page.formula(self.figure(words, name, remark, look), formula, value, shape, look)

    def fixed(self, words: str, name: str, value: Decimal, remark: str) -> None:
        """An amount that only the command can reckon."""
        self.page.money(self.figure(words, name, remark), value, "grey")

    def share(self, words: str, name: str, value: Decimal) -> None:
        """A share that may be changed."""
        at = self.figure(words, name)
        share_input(self.page, at, value)
        self.mark(at, name, repr(float(value)))

    def amount(self, words: str, name: str, value: Decimal, shape: str = "", least: str = "0") -> None:
        """An amount that may be changed."""
        at = self.figure(words, name)
        amount_input(self.page, at, value, shape, least)
        self.mark(at, name, repr(float(value)))

    def choice(self, words: str, name: str, value: str, choices: tuple[str, ...]) -> None:
        """One of a few words."""
        at = self.figure(words, name)
        choice_input(self.page, at, value, choices)
        self.mark(at, name, f'"{value}"')

    def mark(self, at: str, name: str, first: str, word: str = CHANGED) -> None:
        """Beside an input: whether it was changed, and where files hold it."""
        if name not in PATHS:
            return
        row = at[1:]
        self.page.formula(f"C{row}", f'IF({at}={first},"","{word}")', "", "@", "note")
        self.page.text(f"D{row}", PATHS[name], "note")
        self.marks.append(f"Price!$C${row}")
