"""The sheets "Lines", "Rates", "Prices" and "Buying": lines of cost, what an hour and an item cost, what to buy from whom by when."""

from datetime import date

from quoting.costing.lines import Line
from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import (
    COUNT,
    FINE,
    RED,
    SHARE,
    Page,
    half_up,
    money_format,
    rate_format,
    rounded,
    show_where,
)
from quoting.documents.workbook.inputs import AGAIN, HEAD_ROW, amount_input, write_inputs
from quoting.formulas.inputs import Input
from quoting.formulas.number import value_of
from quoting.formulas.plan import Bought
from quoting.money import exact
from quoting.pricing.record import PEOPLE, Buying, Priced, PricedLine, group_title
from quoting.values import key

FIRST = 2
"""The first row of "Lines" and "Buying"."""

JOB_GROUPS = ("sundries", "carriage", "overhead", "delivery_carried", "channel")
"""Groups of lines that rest on the other lines; they come after all of them."""

SHARE_UNITS = ("of materials", "of cost")
COUNTED = ("each", "sheet", "piece", "pair", "set", "pack", "tube", "roll", "panel", "order", "trip")
CHEAPEST = "Grey figures are fixed: write this workbook again, which finds the cheapest of several packs."


def write_lines(book: Book, page: Page) -> None:
    """Fill the sheet: quantities come from the take-off sheets, rates from prices and rates."""
    priced, money = book.priced, book.priced.currency
    heads = (
        "Part", "Item", "Trade", "Stage", "Quantity [unit]", "Unit", f"Rate [{money} a unit]", f"Amount [{money}]",
        "Supplied", "How it was reckoned at first", "Source", "Line",
    )  # fmt: skip
    page.heads(1, heads, figures="EGH")
    own = sum(1 for line in priced.lines if line.trade not in JOB_GROUPS)
    for row, (line, live) in enumerate(zip(priced.lines, book.plan.lines, strict=True), start=FIRST):
        words = {
            "A": line.part, "B": line.item, "C": group_title(line.trade), "D": line.stage, "F": line.unit,
            "I": line.supplied if line.material else "", "J": line.basis, "K": line.source, "L": line.id,
        }  # fmt: skip
        for letter, text in words.items():
            page.text(f"{letter}{row}", text, "wrap")
        _write_quantity(book, page, row, line, live, FIRST + own - 1)
        shape = SHARE if line.unit in SHARE_UNITS else rate_format(page.digits)
        book.figure(page, f"G{row}", live.rate, shape)
        page.formula(f"H{row}", half_up(f"E{row}*G{row}", priced.digits), line.amount)
    last = FIRST + len(priced.lines) - 1
    page.text(f"A{last + 1}", "Planned cost", "sum")
    total = rounded(f"SUM(H{FIRST}:H{last})", priced.digits)
    page.formula(f"H{last + 1}", total, priced.cost["planned"], look="sum")


def group_sum(priced: Priced, group: str) -> str:
    """The formula of what the lines of a group cost, for other sheets."""
    trades, amounts = (
        f"Lines!${letter}${FIRST}:${letter}${FIRST + len(priced.lines) - 1}" for letter in "CH"
    )
    return rounded(f'SUMIFS({amounts},{trades},"{group_title(group)}")', priced.digits)


def _write_quantity(book: Book, page: Page, row: int, line: PricedLine, live: Line, last_own: int) -> None:
    """What the take-off sheet found, or a sum over other lines."""
    counted = line.unit in COUNTED and line.quantity % 1 == 0
    shape = money_format(page.digits) if line.unit in SHARE_UNITS else COUNT if counted else FINE
    resting = book.results.get(line.id) or _resting_on(line, row, last_own)
    if resting:
        page.formula(f"E{row}", resting, line.quantity, shape)
    else:
        book.figure(page, f"E{row}", live.quantity, shape)


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


def place_rates(book: Book, row: int) -> None:
    """Let a cell stand for every rate."""
    for at, rate in enumerate(book.plan.rates.values(), start=row + 2):
        book.formulas.stand(rate.per_hour, f"Rates!$B${at}")


def write_rates(book: Book, page: Page, inputs: list[Input], row: int) -> None:
    """Fill the sheet: what rates are made of, then the rates."""
    page.text("A1", "Rates", "title")
    write_inputs(book, page, inputs)
    page.heads(
        row + 1, ("Rate", f"An hour [{book.priced.currency}]", "How it was built up at first"), figures="B"
    )
    words = {rate.name: rate.words for rate in book.priced.rates}
    for at, (name, rate) in enumerate(book.plan.rates.items(), start=row + 2):
        page.text(f"A{at}", name.replace(".", ": ", 1))
        book.figure(page, f"B{at}", rate.per_hour, rate_format(page.digits), look="bold")
        page.text(f"C{at}", words[name], "note")


def write_prices(book: Book, page: Page, inputs: list[Input], row: int) -> dict[str, str]:
    """Fill the sheet. Returns the cells it names: the age at which a price is old."""
    page.text("A1", "Material prices", "title")
    if inputs:
        write_inputs(book, page, inputs)
    else:
        page.heads(HEAD_ROW, ("Input", "Value", "Unit"), figures="B")
    _write_pack_prices(book, page, row)
    row += len(book.plan.pack_prices) + 1
    page.text(f"A{row}", "A price is old after [days]")
    amount_input(page, f"B{row}", book.priced.shop.pricing.stale_after, "General")
    page.heads(row + 2, ("Item", "Dated", "Supplier", "Lead time [days]", "Mark"), figures="D")
    first = row + 3
    named = [line for line in {key(one.item): one for one in book.priced.buying}.values() if line.dated]
    book.dated.extend((first, first + len(named) - 1) if named else ())
    for at, line in enumerate(named, start=first):
        page.text(f"A{at}", line.item, "wrap")
        page.day(f"B{at}", date.fromisoformat(line.dated))
        page.text(f"C{at}", line.supplier, "wrap")
        page.number(f"D{at}", line.lead_days, "General")
        old = f'IF(AND(ISNUMBER(B{at}),priced_on-B{at}>$B${row}),"old price","")'
        page.formula(f"E{at}", old, "old price" if line.stale else "", "@")
    if named:
        show_where(page.sheet, f"A{first}:E{first + len(named) - 1}", f'$E{first}="old price"', RED)
    return {"stale_after": f"Prices!$B${row}"}


def old_price(item: str, book: Book) -> str:
    """The formula of an item's mark, as the sheet "Prices" tells it."""
    if not book.dated:
        return '""'
    items, found = (f"Prices!${letter}${book.dated[0]}:${letter}${book.dated[1]}" for letter in "AE")
    return f'IFERROR(INDEX({found},MATCH({item},{items},0)),"")'


def _write_pack_prices(book: Book, page: Page, first: int) -> None:
    """Prices of items in several packs, fixed: the cheapest packs are found by the command."""
    for row, one in enumerate(book.plan.pack_prices, start=first):
        size = f"pack of {one.pack:g} {one.unit.name}" if one.pack else "any amount"
        page.text(f"A{row}", f"{one.item}, {size}", "wrap")
        page.number(f"B{row}", one.price, rate_format(page.digits), "grey")
        page.text(f"C{row}", f"{book.priced.currency} a {one.unit.name}")
        page.text(f"G{row}", AGAIN, "note")
        page.text(f"H{row}", f"prices.{one.item} (price file)", "note")


def place_buying(book: Book) -> None:
    """Let the cells stand for what is needed and bought of everything."""
    for row, one in enumerate(book.plan.bought, start=FIRST):
        book.formulas.stand(one.needed, f"Buying!$B${row}")
        book.formulas.stand(one.bought, f"Buying!$D${row}")


def write_buying(book: Book, page: Page) -> dict[str, str]:
    """Fill the sheet. Returns the cell of what all of it costs, by its name."""
    money = book.priced.currency
    heads = (
        "Item", "Needed", "In packs of", "Bought", "Unit", f"Amount [{money}]", "Supplier", "Lead time [days]", "Mark",
    )  # fmt: skip
    page.heads(1, heads, figures="BDFH")
    known = {(key(line.item), line.unit, line.supplier): line for line in book.priced.buying}
    for row, one in enumerate(book.plan.bought, start=FIRST):
        _write(book, page, row, one, known.get((key(one.item), one.unit, one.supplier)))
    end = FIRST + len(book.plan.bought)
    page.text(f"A{end}", "Total to buy", "sum")
    total = rounded(f"SUM(F{FIRST}:F{end - 1})", page.digits) if end > FIRST else "0"
    page.formula(f"F{end}", total, book.priced.cost["cash"], look="sum")
    page.text(f"A{end + 2}", CHEAPEST, "note")
    return {"cash_to_buy": f"Buying!$F${end}"}


def _write(book: Book, page: Page, row: int, one: Bought, line: Buying | None) -> None:
    page.text(f"A{row}", one.item, "wrap")
    book.figure(page, f"B{row}", one.needed, FINE)
    packs = f"{one.pack:g} {one.unit}" if one.pack else (line.packs if line else "with the order")
    page.text(f"C{row}", packs, "wrap")
    book.figure(page, f"D{row}", one.bought, FINE)
    page.text(f"E{row}", one.unit)
    paid = sum(exact(float(value_of(part)), page.digits) for part in one.costs)
    amounts = [half_up(book.formulas.of(part), page.digits) for part in one.costs]
    text = "+".join(amounts).replace("Buying!", "")
    if "!" in text or "$" in text:
        page.formula(f"F{row}", text, paid)
    else:
        page.number(f"F{row}", paid, look="grey")
    page.text(f"G{row}", one.supplier, "wrap")
    if line is not None:
        page.number(f"H{row}", line.lead_days, "General")
        page.formula(f"I{row}", old_price(f"A{row}", book), "old price" if line.stale else "", "@", "bold")
