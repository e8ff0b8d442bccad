"""The sheet "Rates": what an hour costs, and how that is built up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.sheet_looks import rate_format
from quoting.documents.sheet_paper import fit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quoting.documents.cells import Page
    from quoting.pricing.record import Priced


def write_rates(page: Page, priced: Priced) -> Mapping[str, str]:
    """Fill the sheet. Returns the cell of every rate, by its name ("pay.owner"), as formulas write it."""
    page.heads(1, ("Rate", f"An hour [{priced.currency}]", "How it is built up"), figures="B")
    cells = {}
    for row, rate in enumerate(priced.rates, start=2):
        page.text(f"A{row}", rate.name.replace(".", ": ", 1))
        page.amount_input(f"B{row}", rate.per_hour, rate_format(priced.digits))
        page.text(f"C{row}", rate.words, "wrap")
        cells[rate.name] = f"Rates!$B${row}"
    fit(page.sheet, A=26, B=16, C=84)
    return cells
