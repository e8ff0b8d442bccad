"""How a sheet fits screen and paper: column widths, row heights, orientation, repeated headers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from openpyxl.worksheet.properties import PageSetupProperties

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

LINE_POINTS, TALLEST_POINTS = 15, 409  # height of a line of text; the tallest row a spreadsheet takes
LANDSCAPE = ("Lines", "Buying", "Steps")
LISTS = ("Lines", "Buying", "Rates")
PAPER = {"Letter": 1, "A4": 9}  # sizes by the numbers of the file format


def fit(sheet: Worksheet, **widths: float) -> None:
    """Column widths in characters, by letter; and rows as tall as their wrapped text then needs.

    Spreadsheets differ in whether they find the height of a row by themselves; so it is written.
    """
    for letter, width in widths.items():
        sheet.column_dimensions[letter].width = width
    for row, cells in enumerate(sheet.iter_rows(), start=1):
        wrapped = [cell for cell in cells if cell.alignment.wrap_text and cell.value]
        lines = [
            sum(1 + len(line) // int(widths[cell.column_letter]) for line in str(cell.value).split("\n"))
            for cell in wrapped
        ]
        if max(lines, default=1) > 1:
            sheet.row_dimensions[row].height = min(LINE_POINTS * max(lines), TALLEST_POINTS)


def set_up(sheet: Worksheet, paper: str) -> None:
    """Protection against slips, and how the sheet prints: as wide as the paper, lists with their header."""
    name = sheet.title
    sheet.protection.sheet = True
    sheet.protection.formatColumns = sheet.protection.formatRows = False  # widths may be changed
    sheet.page_setup.paperSize = PAPER[paper]
    sheet.page_setup.orientation = "landscape" if name in LANDSCAPE else "portrait"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    if name in LISTS:
        sheet.freeze_panes = "A2"
        sheet.print_title_rows = "1:1"
    footer: Any = sheet.oddFooter
    footer.left.text = "&A"  # the sheet's name; nobody's words, which could hold codes
    footer.right.text = "&P / &N"
