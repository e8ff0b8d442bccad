"""The sheet "Lines": every line of cost, quantity x rate = amount."""

from typing import NamedTuple

from quoting.costing.lines import Line
from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import Page, half_up, rounded
from quoting.documents.workbook.looks import COUNT, SHARE, money_format, rate_format
from quoting.pricing.record import PEOPLE, PricedLine, group_title

FIRST = 2
JOB_GROUPS = ("sundries", "carriage", "overhead", "delivery_carried", "channel")
"""Groups of lines that rest on the other lines; they come after all of them."""
SHARE_UNITS = ("of materials", "of cost")
COUNTED = ("each", "sheet", "piece", "pair", "set", "pack", "tube", "roll", "panel", "order", "trip")


class Fields(NamedTuple):
    """Cell ranges of the lines, as formulas of other sheets write them."""

    trade: str
    amount: str


def write_lines(book: Book, page: Page) -> Fields:
    """Fill the sheet: quantities come from the take-off sheets, rates from prices and rates."""
    money, priced = book.currency, book.priced
    heads = (
        "Part", "Item", "Trade", "Stage", "Quantity [unit]", "Unit", f"Rate [{money} a unit]", f"Amount [{money}]",
        "Supplied", "How it was reckoned at first", "Source", "Line",
    )  # fmt: skip
    page.heads(1, heads, figures="EGH")
    own = sum(1 for line in priced.lines if line.trade not in JOB_GROUPS)
    for row, (line, live) in enumerate(zip(priced.lines, book.plan.lines, strict=True), start=FIRST):
        _write_words(page, row, line)
        _write_quantity(book, page, row, line, live, FIRST + own - 1)
        shape = SHARE if line.unit in SHARE_UNITS else rate_format(page.digits)
        book.figure(page, f"G{row}", live.rate, shape)
        page.formula(f"H{row}", half_up(f"E{row}*G{row}", priced.digits), line.amount)
    last = FIRST + len(priced.lines) - 1
    page.text(f"A{last + 1}", "Planned cost", "sum")
    total = rounded(f"SUM(H{FIRST}:H{last})", priced.digits)
    page.formula(f"H{last + 1}", total, priced.cost["planned"], look="sum")
    return Fields(*(f"Lines!${letter}${FIRST}:${letter}${last}" for letter in "CH"))


def _write_words(page: Page, row: int, line: PricedLine) -> None:
    words = {
        "A": line.part, "B": line.item, "C": group_title(line.trade), "D": line.stage, "F": line.unit,
        "I": line.supplied if line.material else "", "J": line.basis, "K": line.source, "L": line.id,
    }  # fmt: skip
    for letter, text in words.items():
        page.text(f"{letter}{row}", text, "wrap")


def _write_quantity(book: Book, page: Page, row: int, line: PricedLine, live: Line, last_own: int) -> None:
    """What the take-off sheet found, or a sum over other lines."""
    at, shape = f"E{row}", _quantity_format(line, page.digits)
    resting = book.results.get(line.id) or _resting_on(line, row, last_own)
    if resting:
        page.formula(at, resting, line.quantity, shape)
    else:
        book.figure(page, at, live.quantity, shape)


def _quantity_format(line: PricedLine, digits: int) -> str:
    if line.unit in SHARE_UNITS:
        return money_format(digits)
    if line.unit in COUNTED and line.quantity % 1 == 0:
        return COUNT
    return "#,##0.00##"  # fine enough to reach the amount by hand


def _resting_on(line: PricedLine, row: int, last_own: int) -> str:
    """The formula of a quantity that rests on other lines; "" where it rests on none.

    Amounts are taken before rounding, as the engine does.
    """
    if last_own < FIRST:
        return ""

    def column(letter: str, last: int = last_own) -> str:
        return f"${letter}${FIRST}:${letter}${last}"

    if line.trade in ("overhead", "sundries") and line.unit == "h":
        hours = (
            f'SUMIFS({column("E")},{column("C")},"{group_title(trade)}",{column("F")},"h")'
            for trade in PEOPLE
        )
        return "+".join(hours)
    if line.trade == "sundries":
        # Materials alone say how they are supplied; a list within the formula is not read alike by all programs.
        return f'SUMPRODUCT(--({column("I")}<>""),{column("E")},{column("G")})'
    if line.trade == "channel":
        return f"SUMPRODUCT({column('E', row - 1)},{column('G', row - 1)})"
    return ""
