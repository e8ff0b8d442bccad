"""Rows of the sheet "Price": a label, a figure with a name, a remark."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.documents.cells import Page
    from quoting.documents.sheet_looks import Look
    from quoting.pricing.record import Priced


class PriceRows:
    """Writes from `row` downwards. `names` collects the cell of every named figure."""

    def __init__(self, page: Page, priced: Priced, row: int) -> None:
        self.page, self.priced, self.row = page, priced, row
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
        self.page.share_input(self.figure(words, name), value)

    def amount(self, words: str, name: str, value: Decimal, shape: str = "", least: str = "0") -> None:
        """An amount that may be changed."""
        self.page.amount_input(self.figure(words, name), value, shape, least)

    def choice(self, words: str, name: str, value: str, choices: tuple[str, ...]) -> None:
        """One of a few words."""
        self.page.choice_input(self.figure(words, name), value, choices)
