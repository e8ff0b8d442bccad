"""The top of the sheet "Price": which piece, for whom, when, and how the workbook is used."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_looks import Look
    from quoting.pricing.record import Priced

NOTES = (
    "Cells of this colour are inputs: change them and everything that rests on them follows.",
    "Grey cells are fixed. They come from the command; run it again to change them.",
    "All other figures are live formulas. Sheets are protected without a password, against slips only.",
    "Lines: a quantity times a rate. Hours move overhead and sundries, materials move shares of materials.",
    "Rates: an hour of pay, overhead and machines; every line of hours follows.",
    "Price: margin, fees, discount, tax, rounding, floor and payments are live.",
    "Run the command again for sizes, plies, rounds, waste and anything else that is reckoned from the piece.",
    "Run the command again where packs, carriage or the buying list would change: they move in steps.",
    "Run the command again for the cost of the trip, and for a reserve that is drawn (P80).",
    "What you change here does not reach your files: write there what you want to keep.",
)
FIRST_NOTE = 8


def write_head(page: Page, priced: Priced) -> int:
    """Fill the top of the sheet. Returns the last row that is filled."""
    piece = priced.job.piece
    page.text("A1", "Price of the piece", "title")
    page.sheet.row_dimensions[1].height = 21
    title = f"{piece.title} ({piece.code})" if piece.code else piece.title
    facts = (("Piece", title), ("Client", priced.job.client.name), ("Workshop", priced.shop.shop.name))
    for row, (label, words) in enumerate(facts, start=2):
        page.text(f"A{row}", label)
        page.text(f"B{row}", words)
    page.text("A5", "Date")
    page.day("B5", priced.day)
    page.text("A6", "Currency of all amounts")
    page.text("B6", priced.currency)
    shows: dict[int, Look] = {0: "input", 1: "grey"}  # the first two notes show the colours they speak of
    for number, words in enumerate(NOTES):
        row = FIRST_NOTE + number
        page.text(f"A{row}", words, shows.get(number, "plain"))
        page.sheet.merge_cells(f"A{row}:G{row}")
    page.lock(f"A{FIRST_NOTE}")
    return FIRST_NOTE + len(NOTES) - 1
