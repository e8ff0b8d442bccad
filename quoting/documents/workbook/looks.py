"""How cells look, and how a sheet fits screen and paper."""

from textwrap import wrap
from typing import Any, Literal

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

Look = Literal["plain", "input", "grey", "sum", "head", "title", "note", "wrap", "bold", "hint"]

INPUT_COLOUR, GREY_COLOUR = "FFF2CC", "E7E6E6"
FILLS = {
    "input": PatternFill("solid", fgColor=INPUT_COLOUR),
    "grey": PatternFill("solid", fgColor=GREY_COLOUR),
    "hint": PatternFill("solid", fgColor=GREY_COLOUR),
    "head": PatternFill("solid", fgColor="DDE5E1"),
}
FACE = "Calibri"
PLAIN = Font(name=FACE, size=11)
FONTS = {
    "grey": Font(name=FACE, size=11, color="595959"),
    "sum": Font(name=FACE, size=11, bold=True),
    "bold": Font(name=FACE, size=11, bold=True),
    "head": Font(name=FACE, size=11, bold=True),
    "title": Font(name=FACE, size=15, bold=True),
    "note": Font(name=FACE, size=11, color="595959", italic=True),
    "hint": Font(name=FACE, size=9, color="595959", italic=True),
}
RIGHT = Alignment(horizontal="right", vertical="top")
SUM_LINE = Border(top=Side("thin", color="7F7F7F"))
SHARE, DAY, COUNT = "0.00%", "yyyy-mm-dd", "General"

TITLE_POINTS, LINE_POINTS = 21, 15  # height of a line of text
TALLEST_POINTS = 409  # of a row that a spreadsheet takes
PAPER = {"Letter": 1, "A4": 9}  # sizes by the numbers of the file format

WIDTHS: dict[str, dict[str, float]] = {
    "Price": {"A": 42, "B": 18, "C": 14, "D": 14, "E": 14, "F": 14, "G": 30},
    "Lines": {
        "A": 24,
        "B": 22,
        "C": 12,
        "D": 11,
        "E": 12,
        "F": 9,
        "G": 13,
        "H": 13,
        "I": 9,
        "J": 48,
        "K": 30,
        "L": 26,
    },
    "Buying": {"A": 34, "B": 12, "C": 20, "D": 12, "E": 9, "F": 14, "G": 24, "H": 11, "I": 12},
    "Steps": {"A": 34, "H": 16},
    "Selling": {"A": 48, "B": 18},
    "Risk": {"A": 52, "B": 16, "E": 26},
    "Review": {"A": 62, "B": 16},
    "Differences": {"A": 40, "B": 10},
}
"""Columns that are wider than others, by sheet."""
EDGES = 0.5  # of a cell, in characters
USUAL, FIRST = 14.0, {"A": 34.0, "B": 22.0}


def money_format(digits: int) -> str:
    """Number format of an amount with so many minor digits."""
    return "#,##0" + ("." + "0" * digits if digits else "")


def rate_format(digits: int) -> str:
    """Number format of a price for one unit: often finer than money itself."""
    return "#,##0." + "0" * max(digits, 2) + "##"


def red_where(sheet: Worksheet, cells: str, formula: str) -> None:
    """Show cells red and bold where a formula holds."""
    red = DifferentialStyle(font=Font(bold=True, color="C00000"))
    sheet.conditional_formatting.add(cells, Rule("expression", dxf=red, formula=[formula]))


def widths(sheet: Worksheet) -> None:
    """Column widths in characters; and rows as tall as their wrapped text then needs.

    Spreadsheets differ in whether they find the height of a row by themselves; so it is written.
    """
    wide = WIDTHS.get(sheet.title, FIRST)
    for column in range(1, sheet.max_column + 1):
        letter = get_column_letter(column)
        sheet.column_dimensions[letter].width = wide.get(letter, USUAL)
    for row, cells in enumerate(sheet.iter_rows(), start=1):
        wrapped = [cell for cell in cells if cell.alignment.wrap_text and cell.value]
        lines = [
            sum(max(len(wrap(line, _letters(cell, wide))), 1) for line in str(cell.value).split("\n"))
            for cell in wrapped
        ]
        if max(lines, default=1) > 1:
            sheet.row_dimensions[row].height = min(LINE_POINTS * max(lines), TALLEST_POINTS)


def _letters(cell: Any, wide: dict[str, float]) -> int:
    """Characters of a cell's text that fit its column, behind its indent: bold ones are wider."""
    room = wide.get(cell.column_letter, USUAL) - cell.alignment.indent - EDGES
    return int(room * (0.8 if cell.font.bold else 1))


def set_up(sheet: Worksheet, paper: str) -> None:
    """Protection against slips, and how the sheet prints: as wide as the paper, lists with their header."""
    name = sheet.title
    sheet.protection.sheet = True
    sheet.protection.formatColumns = sheet.protection.formatRows = False  # widths may be changed
    sheet.page_setup.paperSize = PAPER[paper]
    sheet.page_setup.orientation = "portrait" if name in ("Price", "Review") else "landscape"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    if name != "Price":
        sheet.freeze_panes = "A2"
        sheet.print_title_rows = "1:3" if name == "Prices" else "1:1"
    if name not in ("Lines", "Buying"):
        sheet.row_dimensions[1].height = TITLE_POINTS
    sheet.page_margins = PageMargins(left=0.4, right=0.4, top=0.5, bottom=0.6, header=0.3, footer=0.3)
    footer: Any = sheet.oddFooter
    footer.left.text = "&A"  # the sheet's name; nobody's words, which could hold codes
    footer.right.text = "&P / &N"
