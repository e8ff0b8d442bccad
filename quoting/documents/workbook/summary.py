"""The first sheet: which piece, how to use the workbook, the price chain, payments, fees, and a picture of the cost."""

from decimal import Decimal

from openpyxl.chart import BarChart, data_source
from openpyxl.chart.series import Series
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.title import title_maker
from openpyxl.styles import Protection
from openpyxl.worksheet.pagebreak import Break

from quoting.documents.workbook.book import Book
from quoting.documents.workbook.cells import RED, SHARE, Look, Page, half_up, rate_format, rounded, show_where
from quoting.documents.workbook.inputs import (
    CHANGED,
    CHANGED_GUARDED,
    amount_input,
    choice_input,
    share_input,
)
from quoting.documents.workbook.price import PriceRows, write_chain, write_cost
from quoting.documents.workbook.steps import payment_terms, write_payments
from quoting.formulas.formula import stretches
from quoting.pricing.record import Priced, group_title

NOTES = (
    "Cells of this colour are inputs: change them, and everything that rests on them follows.",
    "Grey cells are fixed: they move rounds, packs or a drawn reserve in steps. Write this workbook again for those.",
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
CHANGE_ROWS = 3
FITS, MOVED = "fits", "choose share, or run again"


def verdict(priced: Priced) -> str:
    """Whether the margin left is below the floor, in words."""
    return BELOW if priced.chain.margin < priced.rules.floor else NOT_BELOW


def write_head(page: Page, priced: Priced) -> int:
    """Fill the top of the sheet. Returns the last row that is filled."""
    piece = priced.job.piece
    page.text("A1", "Price of the piece", "title")
    named = f"{priced.number} {piece.title}".lstrip() + (f" ({piece.code})" if piece.code else "")
    facts = {"Piece": named, "Client": priced.job.client.name, "Workshop": priced.shop.shop.name}
    page.rows(2, facts.items())
    page.text("F2", "Total", "bold")
    page.formula("G2", "total_price", priced.chain.total, look="bold")
    page.text("F3", "Margin", "bold")
    page.formula("G3", "margin_left", priced.chain.margin, SHARE, "bold")
    page.text("F4", "The margin is", "bold")
    page.formula("G4", "floor_verdict", verdict(priced), "@", "bold")
    page.text("A5", "Date")
    page.day("B5", priced.day)
    page.rows(6, [("Currency of all amounts", priced.currency)])
    shows: dict[int, Look] = {0: "input", 1: "grey"}  # the first two notes show the colours they speak of
    for number, words in enumerate(NOTES):
        row = FIRST_NOTE + number
        page.text(f"A{row}", words, shows.get(number, "plain"))
        # The first looks like an input; a merge hands its lock on.
        page.sheet[f"A{row}"].protection = Protection(locked=True)
        page.sheet.merge_cells(f"A{row}:G{row}")
    return FIRST_NOTE + len(NOTES) - 1


def write_fees(rows: PriceRows) -> None:
    """Every fee of the sale: a share of the net price or of the total with tax, and a fixed amount."""
    priced, page, digits = rows.priced, rows.page, rows.priced.digits
    fees = priced.rules.fees
    amount = f"Amount [{priced.currency}]"
    rows.head("Fees and what is kept back", amount, "Share", "Fixed, all payments", "Share of")
    first, last = rows.row, rows.row + len(fees) - 1
    for row, fee in enumerate(fees, start=first):
        page.text(f"A{row}", fee.name, "wrap")
        amount = half_up(f'C{row}*IF(E{row}="total",total_price,net_price)+D{row}', digits)
        page.formula(f"B{row}", amount, priced.chain.fees.get(fee.name, Decimal(0)))
        share_input(page, f"C{row}", fee.share)
        amount_input(page, f"D{row}", fee.fixed, rate_format(digits))
        choice_input(page, f"E{row}", fee.on, ("net", "total"))
        same = f'AND(C{row}={float(fee.share)!r},D{row}={float(fee.fixed)!r},E{row}="{fee.on}")'
        page.formula(f"F{row}", f'IF({same},"","{CHANGED}")', "", "@", "note")
        rows.book.marks.append(f"Price!$F${row}")
    rows.row = last + 1
    total = rounded(f"SUM(B{first}:B{last})", digits)
    rows.reckoned("All fees", "fee_total", total, priced.chain.fee_total, look="sum")
    fixed = sum((fee.fixed for fee in fees), Decimal(0))
    rows.reckoned("Fixed fees", "fixed_fees", f"SUM(D{first}:D{last})", fixed, shape=rate_format(digits))
    for on, words in (("net", "Shares of the net price"), ("total", "Shares of the total with tax")):
        value = sum((fee.share for fee in fees if fee.on == on), Decimal(0))
        shares = f'SUMIFS(C{first}:C{last},E{first}:E{last},"{on}")'
        rows.reckoned(words, f"fees_on_{on}", shares, value, shape=SHARE)


def write_left(rows: PriceRows) -> None:
    """What the price leaves: margin and markup after discount and fees, and the floor."""
    rules, chain = rows.priced.rules, rows.priced.chain
    spent = chain.with_reserve + chain.delivery_extra
    rows.head("What the price leaves", f"Amount [{rows.priced.currency}]")
    kept = rounded("net_price-fee_total-with_reserve-delivery_extra", rows.priced.digits)
    rows.reckoned("Left after cost and fees", "kept", kept, chain.net - chain.fee_total - spent)
    margin = "IF(net_price=0,0,kept/net_price)"
    rows.reckoned("Margin on the net price, after discount", "margin_left", margin, chain.margin, shape=SHARE)
    markup = "IF(with_reserve+delivery_extra=0,0,kept/(with_reserve+delivery_extra))"
    rows.reckoned("Markup on cost", "markup", markup, chain.markup, shape=SHARE)
    rows.share("Floor of the margin", "floor_margin", rules.floor)
    judged = f'IF(ROUND(margin_left-floor_margin,12)<0,"{BELOW}","{NOT_BELOW}")'
    rows.reckoned("The margin is", "floor_verdict", judged, verdict(rows.priced))


def write_summary(page: Page, book: Book) -> tuple[PriceRows, int]:
    """Fill the sheet. Returns its named rows, and the row of the first payment."""
    priced = book.priced
    rows = PriceRows(page, book, write_head(page, priced) + 1)
    rows.names["priced_on"] = "Price!$B$5"
    changes_row, rows.row = rows.row, rows.row + 2 + CHANGE_ROWS
    first = write_cost(rows)
    write_fees(rows)
    write_chain(rows)
    write_left(rows)
    payments_row = rows.row + 1
    rows.row = changes_row
    _write_changes(rows)
    write_payments(page, priced, payments_row)
    page.sheet.row_breaks.append(Break(id=payments_row - 1))
    for name, words in (("floor_verdict", BELOW), ("reserve_fits", MOVED)):
        at = rows.names[name].replace("Price!", "")
        show_where(page.sheet, at.replace("$", ""), f'{at}="{words}"', RED)
    _draw_cost(page, first, priced, payments_row + len(payment_terms(priced)) + 4)
    return rows, payments_row + 1


def _write_changes(rows: PriceRows) -> None:
    """How many inputs differ from the files, and whether a drawn reserve still fits them."""
    rows.head("Changes", "Count")
    runs = stretches(rows.book.marks)
    marked = [f"{run[0]}:{run[-1].partition('!')[2]}" if len(run) > 1 else run[0] for run in runs]
    for words, name, mark in (
        ("Inputs that differ from your files", "inputs_changed", f'"{CHANGED}*"'),
        ("Of these, inputs that move a drawn reserve", "reserve_moved", f'"{CHANGED_GUARDED}"'),
    ):
        count = "+".join(f"COUNTIF({cells},{mark})" for cells in marked) or "0"
        rows.reckoned(words, name, count, 0.0, shape="0")
    by = 'reserve_by="drawn"' if rows.priced.reserve_drawn else "FALSE"
    formula = f'IF(AND({by},reserve_moved>0),"{MOVED}","{FITS}")'
    rows.reckoned("The reserve", "reserve_fits", formula, FITS, shape="@")


def _draw_cost(page: Page, first: int, priced: Priced, row: int) -> None:
    """A bar for every group of cost, below the payments; with its values, for programs that do not reckon."""
    last = first + len(priced.groups) - 1
    chart = BarChart()
    chart.type, chart.style, chart.legend = "bar", 10, None
    chart.title = title_maker("Planned cost by trade")
    chart.title.overlay = False
    names = data_source.StrData(
        pt=[data_source.StrVal(idx=i, v=group_title(group)) for i, group in enumerate(priced.groups)]
    )
    costs = data_source.NumData(
        pt=[data_source.NumVal(idx=i, v=f"{priced.cost[group]:f}") for i, group in enumerate(priced.groups)]
    )
    values = data_source.NumDataSource(
        numRef=data_source.NumRef(f=f"Price!$B${first}:$B${last}", numCache=costs)
    )
    groups = data_source.AxDataSource(
        strRef=data_source.StrRef(f=f"Price!$A${first}:$A${last}", strCache=names)
    )
    chart.append(Series(val=values, cat=groups))
    chart.y_axis.delete = chart.x_axis.delete = False
    chart.x_axis.scaling.orientation = "maxMin"
    chart.y_axis.numFmt = "#,##0"
    chart.gapWidth, chart.width, chart.height = 40, 24, 1.6 + 0.7 * len(priced.groups)
    chart.series[0].graphicalProperties = GraphicalProperties(solidFill="5B7F71")
    page.sheet.add_chart(chart, f"A{row}")
