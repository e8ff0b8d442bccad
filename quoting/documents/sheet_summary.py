"""The first sheet: how to use the workbook, the price chain, payments, and a picture of the cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.chart import BarChart, Reference
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.pagebreak import Break

from quoting.documents.sheet_head import write_head
from quoting.documents.sheet_payments import stages_of, write_payments
from quoting.documents.sheet_price import BELOW, write_chain, write_cost, write_fees, write_left
from quoting.documents.sheet_rows import PriceRows

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.documents.sheet_lines import Fields


def write_summary(page: Page, book: Book, lines: Fields) -> tuple[PriceRows, int]:
    """Fill the sheet. Returns its named rows, and the row of the first payment."""
    priced = book.priced
    rows = PriceRows(page, priced, write_head(page, priced) + 1)
    rows.names["priced_on"] = "Price!$B$5"
    _write_changes(rows, book)
    first = write_cost(rows, lines)
    write_fees(rows)
    write_chain(rows, book)
    write_left(rows)
    payments_row = rows.row + 1
    write_payments(page, priced, payments_row)
    page.sheet.row_breaks.append(Break(id=payments_row - 1))
    verdict = rows.names["floor_verdict"].replace("Price!", "")
    red = DifferentialStyle(font=Font(bold=True, color="C00000"))
    for at, words in ((verdict, BELOW), (rows.names["reserve_fits"].replace("Price!", ""), MOVED)):
        page.sheet.conditional_formatting.add(
            at.replace("$", ""), Rule("expression", dxf=red, formula=[f'{at}="{words}"'])
        )
    _draw_cost(page, first, len(priced.groups), payments_row + len(stages_of(priced)) + 4)
    return rows, payments_row + 1


FITS, MOVED = "fits", "choose share, or run again"


def _write_changes(rows: PriceRows, book: Book) -> None:
    """How many inputs differ from the files, and whether a drawn reserve still fits them."""
    rows.head("Changes", "Count")
    for words, name, mark in (
        ("Inputs that differ from your files", "inputs_changed", '"changed*"'),
        ("Of these, inputs that move a drawn reserve", "reserve_moved", '"changed (reserve)"'),
    ):
        count = "+".join(f"COUNTIF({cells},{mark})" for cells in runs(book.marks)) or "0"
        rows.reckoned(words, name, count, 0.0, shape="0")
    drawn = book.priced.contingency.strip().upper() == "P80"
    formula = f'IF(AND(reserve_by="drawn",reserve_moved>0),"{MOVED}","{FITS}")' if drawn else f'"{FITS}"'
    rows.reckoned("The reserve", "reserve_fits", formula, FITS, shape="@")


def runs(cells: list[str]) -> list[str]:
    """Cells of one column that follow one another, as ranges."""
    found: list[list[str]] = []
    for cell in cells:
        sheet, _, at = cell.partition("!")
        row = int(at.rpartition("$")[2])
        before = found[-1][-1] if found else ""
        if before.partition("!")[0] == sheet and int(before.rpartition("$")[2]) == row - 1:
            found[-1].append(cell)
        else:
            found.append([cell])
    return [one[0] if len(one) == 1 else f"{one[0]}:{one[-1].partition('!')[2]}" for one in found]


def _draw_cost(page: Page, first: int, groups: int, row: int) -> None:
    """A bar for every group of cost, below the payments."""
    chart = BarChart()
    chart.type, chart.style, chart.legend = "bar", 10, None
    chart.title = "Planned cost by trade"
    chart.add_data(Reference(page.sheet, min_col=2, min_row=first, max_row=first + groups - 1))
    chart.set_categories(Reference(page.sheet, min_col=1, min_row=first, max_row=first + groups - 1))
    chart.y_axis.delete = chart.x_axis.delete = False
    chart.x_axis.scaling.orientation = "maxMin"
    chart.y_axis.numFmt = "#,##0"
    chart.gapWidth, chart.width, chart.height = 40, 24, 1.6 + 0.7 * groups
    chart.series[0].graphicalProperties.solidFill = "5B7F71"
    page.sheet.add_chart(chart, f"A{row}")
