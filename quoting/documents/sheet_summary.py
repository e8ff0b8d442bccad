"""The first sheet: how to use the workbook, the price chain, payments, and a picture of the cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.chart import BarChart
from openpyxl.chart.data_source import (
    AxDataSource,
    NumData,
    NumDataSource,
    NumRef,
    NumVal,
    StrData,
    StrRef,
    StrVal,
)
from openpyxl.chart.series import Series
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.title import title_maker
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.pagebreak import Break

from quoting.documents.sheet_head import BELOW, write_head
from quoting.documents.sheet_inputs import CHANGED, CHANGED_GUARDED
from quoting.documents.sheet_margin import write_fees, write_left
from quoting.documents.sheet_payments import stages_of, write_payments
from quoting.documents.sheet_price import write_chain, write_cost
from quoting.documents.sheet_rows import PriceRows
from quoting.pricing.sentences import group_title

if TYPE_CHECKING:
    from quoting.documents.cells import Page
    from quoting.documents.sheet_book import Book
    from quoting.documents.sheet_lines import Fields
    from quoting.pricing.record import Priced


def write_summary(page: Page, book: Book, lines: Fields) -> tuple[PriceRows, int]:
    """Fill the sheet. Returns its named rows, and the row of the first payment."""
    priced = book.priced
    rows = PriceRows(page, priced, write_head(page, priced) + 1, book.marks)
    rows.names["priced_on"] = "Price!$B$5"
    changes_row, rows.row = rows.row, rows.row + 2 + CHANGE_ROWS
    first = write_cost(rows, lines)
    write_fees(rows)
    write_chain(rows, book)
    write_left(rows)
    payments_row = rows.row + 1
    rows.row = changes_row
    _write_changes(rows, book)
    write_payments(page, priced, payments_row)
    page.sheet.row_breaks.append(Break(id=payments_row - 1))
    verdict = rows.names["floor_verdict"].replace("Price!", "")
    red = DifferentialStyle(font=Font(bold=True, color="C00000"))
    for at, words in ((verdict, BELOW), (rows.names["reserve_fits"].replace("Price!", ""), MOVED)):
        page.sheet.conditional_formatting.add(
            at.replace("$", ""), Rule("expression", dxf=red, formula=[f'{at}="{words}"'])
        )
    _draw_cost(page, first, priced, payments_row + len(stages_of(priced)) + 4)
    return rows, payments_row + 1


CHANGE_ROWS = 3
FITS, MOVED = "fits", "choose share, or run again"


def _write_changes(rows: PriceRows, book: Book) -> None:
    """How many inputs differ from the files, and whether a drawn reserve still fits them."""
    rows.head("Changes", "Count")
    for words, name, mark in (
        ("Inputs that differ from your files", "inputs_changed", f'"{CHANGED}*"'),
        ("Of these, inputs that move a drawn reserve", "reserve_moved", f'"{CHANGED_GUARDED}"'),
    ):
        count = "+".join(f"COUNTIF({cells},{mark})" for cells in runs(book.marks)) or "0"
        rows.reckoned(words, name, count, 0.0, shape="0")
    by = 'reserve_by="drawn"' if book.priced.reserve_drawn else "FALSE"
    formula = f'IF(AND({by},reserve_moved>0),"{MOVED}","{FITS}")'
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


def _draw_cost(page: Page, first: int, priced: Priced, row: int) -> None:
    """A bar for every group of cost, below the payments; with its values, for programs that do not reckon."""
    last = first + len(priced.groups) - 1
    chart = BarChart()
    chart.type, chart.style, chart.legend = "bar", 10, None
    chart.title = title_maker("Planned cost by trade")
    chart.title.overlay = False
    names = StrData(pt=[StrVal(idx=i, v=group_title(group)) for i, group in enumerate(priced.groups)])
    costs = NumData(pt=[NumVal(idx=i, v=f"{priced.cost[group]:f}") for i, group in enumerate(priced.groups)])
    chart.append(
        Series(
            val=NumDataSource(numRef=NumRef(f=f"Price!$B${first}:$B${last}", numCache=costs)),
            cat=AxDataSource(strRef=StrRef(f=f"Price!$A${first}:$A${last}", strCache=names)),
        )
    )
    chart.y_axis.delete = chart.x_axis.delete = False
    chart.x_axis.scaling.orientation = "maxMin"
    chart.y_axis.numFmt = "#,##0"
    chart.gapWidth, chart.width, chart.height = 40, 24, 1.6 + 0.7 * len(priced.groups)
    chart.series[0].graphicalProperties = GraphicalProperties(solidFill="5B7F71")
    page.sheet.add_chart(chart, f"A{row}")
