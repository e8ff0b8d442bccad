"""The top of the sheet "Price": which piece, for whom, when, and how the workbook is used."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.sheet_looks import SHARE

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_looks import Look
    from quoting.pricing.record import Priced

NOTES = (
    "Cells of this colour are inputs: change them, and everything that rests on them follows.",
    "Grey cells are fixed: they move rounds, packs or a drawn reserve in steps. Run the command again for those.",
    "All other figures are live formulas. Sheets are protected without a password, against slips only.",
    "Sheets of the trades (Hardwood, Laminate, ...): inputs on top, below them how each quantity is reached.",
    'Labour: standard times on top; "your hours" beside a line take the place of what is reckoned.',
    "Rates and Prices: an hour, a unit of every item. Delivery: distance up to the furthest, and the trip.",
    "Lines: quantity times rate, from those sheets. Buying: what to buy. Price (here): margin, fees, tax, payments.",
    'A drawn reserve (P80) cannot follow changes: choose "share" below, and more inputs open.',
    'What differs from your files is marked "changed" (payments apart). Beside an input stands where files hold it.',
    "What you change here does not reach your files, and no issued quote.",
)
FIRST_NOTE = 8
BELOW, NOT_BELOW = "below the floor", "not below the floor"


def verdict(priced: Priced) -> str:
    """Whether the margin left is below the floor, in words."""
    return BELOW if priced.chain.margin < priced.rules.floor else NOT_BELOW


def write_head(page: Page, priced: Priced) -> int:
    """Fill the top of the sheet. Returns the last row that is filled."""
    piece = priced.job.piece
    page.text("A1", "Price of the piece", "title")
    title = f"{piece.title} ({piece.code})" if piece.code else piece.title
    facts = (
        ("Piece", f"{priced.number} {title}".lstrip()),
        ("Client", priced.job.client.name),
        ("Workshop", priced.shop.shop.name),
    )
    for row, (label, words) in enumerate(facts, start=2):
        page.text(f"A{row}", label)
        page.text(f"B{row}", words)
    page.text("F2", "Total", "bold")
    page.formula("G2", "total_price", priced.chain.total, look="bold")
    page.text("F3", "Margin", "bold")
    page.formula("G3", "margin_left", priced.chain.margin, SHARE, "bold")
    page.text("F4", "The margin is", "bold")
    page.formula("G4", "floor_verdict", verdict(priced), "@", "bold")
    page.text("A5", "Date")
    page.day("B5", priced.day)
    page.text("A6", "Currency of all amounts")
    page.text("B6", priced.currency)
    shows: dict[int, Look] = {0: "input", 1: "grey"}  # the first two notes show the colours they speak of
    for number, words in enumerate(NOTES):
        row = FIRST_NOTE + number
        page.text(f"A{row}", words, shows.get(number, "plain"))
        page.lock(f"A{row}")  # the first looks like an input; a merge hands its lock on
        page.sheet.merge_cells(f"A{row}:G{row}")
    return FIRST_NOTE + len(NOTES) - 1
