"""Cells of the workbook: how they look, text that stays text, formulas beside their known values."""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any, Literal

from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.drawing.image import Image
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from quoting.documents.pictures.marks import Figure
from quoting.documents.pictures.writers import png_bytes
from quoting.money import PLACES

Look = Literal["plain", "input", "grey", "sum", "head", "title", "note", "wrap", "bold", "hint"]

GREY_COLOUR, QUIET, FACE = "E7E6E6", "595959", "Calibri"
OPEN, GREY, HEAD = (PatternFill("solid", fgColor=colour) for colour in ("FFF2CC", GREY_COLOUR, "DDE5E1"))
FILLS = {"input": OPEN, "grey": GREY, "hint": GREY, "head": HEAD}
PLAIN, BOLD = Font(name=FACE, size=11), Font(name=FACE, size=11, bold=True)
FONTS = {
    **dict.fromkeys(("sum", "bold", "head"), BOLD),
    "grey": Font(name=FACE, size=11, color=QUIET),
    "title": Font(name=FACE, size=15, bold=True),
    "note": Font(name=FACE, size=11, color=QUIET, italic=True),
    "hint": Font(name=FACE, size=9, color=QUIET, italic=True),
}
RIGHT = Alignment(horizontal="right", vertical="top")
SUM_LINE = Border(top=Side("thin", color="7F7F7F"))
RED = DifferentialStyle(font=Font(bold=True, color="C00000"))
GREYED = DifferentialStyle(fill=PatternFill(bgColor=GREY_COLOUR, fill_type="solid"))
SHARE, DAY, COUNT = "0.00%", "yyyy-mm-dd", "General"
FINE = "#,##0.00##"  # fine enough to reach an amount by hand

LONGEST = 32_767  # characters of one cell, counted in UTF-16 as spreadsheets do
LONGEST_FORMULA = 8_192
STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
NOT_IN_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")
PICTURE_WIDTH, ROW_PIXELS = 700, 20


def money_format(digits: int) -> str:
    """Number format of an amount with so many minor digits."""
    return "#,##0" + ("." + "0" * digits if digits else "")


def rate_format(digits: int) -> str:
    """Number format of a price for one unit: often finer than money itself."""
    return "#,##0." + "0" * max(digits, 2) + "##"


def show_where(sheet: Worksheet, cells: str, formula: str, style: DifferentialStyle) -> None:
    """Give cells another look where a formula holds."""
    sheet.conditional_formatting.add(cells, Rule("expression", dxf=style, formula=[formula]))


def clean(words: object) -> str:
    """Text as a cell can hold it: no characters that XML forbids, and not too long."""
    kept = NOT_IN_XML.sub("", ILLEGAL_CHARACTERS_RE.sub("", str(words))).replace("\r\n", "\n")
    return kept.encode("utf-16-le")[: 2 * LONGEST].decode("utf-16-le", "ignore")


def rounded(formula: str, digits: int) -> str:
    """A sum of money without the noise of floats: rounded to minor digits, which it has already."""
    return f"ROUND({formula},{digits})"


def half_up(formula: str, digits: int) -> str:
    """A product or quotient of money in minor digits, half-up as `money.exact` has it.

    The engine trusts a float to 9 decimals before it rounds, and so does the cell: programs that round once
    do not all see the half of a coin in a float that lies just below it.
    """
    return rounded(rounded(formula, PLACES), digits)


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet being written. `values` holds that of every formula, for programs that do not reckon."""

    sheet: Worksheet
    digits: int
    values: dict[str, float | str] = field(default_factory=dict)
    rules: dict[str, DataValidation] = field(default_factory=dict)

    def text(self, at: str, words: object, look: Look = "plain") -> None:
        """Words of anybody: never a formula, whatever they start with."""
        cell = self.dressed(at, look)
        # A little distance from a number in the column before; the first column has none before it.
        distance = 0 if at.startswith("A") else 1
        wraps = look in ("wrap", "head", "hint")
        cell.alignment = Alignment(horizontal="left", vertical="top", wrap_text=wraps, indent=distance)
        cell.value = clean(words)
        cell.data_type = "s"
        if str(cell.value).startswith(STARTS_FORMULA):
            cell.quotePrefix = True

    def number(self, at: str, value: float | Decimal, shape: str = "", look: Look = "plain") -> None:
        """A number; money, unless `shape` says other. Raises ValueError for NaN and infinity, which no spreadsheet can read."""
        if not math.isfinite(value):
            raise ValueError(f"{value} cannot stand in cell {at}")
        cell = self.dressed(at, look)
        cell.value = float(value)
        cell.number_format = shape or money_format(self.digits)
        cell.alignment = RIGHT

    def rows(self, row: int, rows: Iterable[Sequence[Any]], look: Look = "plain") -> int:
        """Rows from column A on, of words, amounts of money, None for nothing; or words with their look, numbers with their
        format. `look` is that of all figures. Returns the row below.
        """
        for cells in rows:
            for column, cell in enumerate(cells, start=1):
                at = f"{get_column_letter(column)}{row}"
                value, how = cell if isinstance(cell, tuple) else (cell, None)
                if isinstance(value, str):
                    self.text(at, value, how or "plain")
                elif value is not None:
                    self.number(at, value, how or "", look)
            row += 1
        return row

    def day(self, at: str, day: date) -> None:
        """A day of the calendar."""
        cell = self.dressed(at, "plain")
        cell.value, cell.number_format = day, DAY
        cell.alignment = Alignment(horizontal="left", vertical="top", indent=1)

    def formula(
        self, at: str, formula: str, value: float | Decimal | str, shape: str = "", look: Look = "plain"
    ) -> None:
        """A formula (without =) and the value that the engine knows for it. Money, unless `shape` says other."""
        stored = value if isinstance(value, str) else float(value)
        if isinstance(stored, float) and not math.isfinite(stored):
            raise ValueError(f"{value} cannot stand in cell {at}")
        if len(formula) >= LONGEST_FORMULA:
            raise ValueError(f"the formula of {at} has {len(formula)} characters")
        cell = self.dressed(at, look)
        cell.value = f"={formula}"
        cell.number_format = shape or money_format(self.digits)
        cell.alignment = RIGHT
        self.values[at] = stored

    def heads(self, row: int, words: Sequence[str], figures: str, first_figure: int = 99) -> None:
        """A header row from column A on; `figures` are the letters of columns that hold numbers, and all
        columns from the `first_figure`-th on.
        """
        for number, head in enumerate(words, start=1):
            letter = get_column_letter(number)
            self.text(f"{letter}{row}", head, "head")
            if letter in figures or number >= first_figure:
                self.sheet[f"{letter}{row}"].alignment = Alignment(
                    horizontal="right", vertical="top", wrap_text=True
                )

    def picture(self, at: str, figure: Figure) -> int:
        """A picture with its corner in a cell. Returns how many rows it covers."""
        image = Image(BytesIO(png_bytes(figure)))
        image.width, image.height = PICTURE_WIDTH, round(PICTURE_WIDTH * image.height / image.width)
        self.sheet.add_image(image, at)
        return int(image.height // ROW_PIXELS)

    def dressed(self, at: str, look: Look) -> Any:
        """A cell with the looks of its kind; inputs alone are unlocked."""
        cell: Any = self.sheet[at]
        cell.font = FONTS.get(look, PLAIN)
        if look in FILLS:
            cell.fill = FILLS[look]
        if look == "sum":
            cell.border = SUM_LINE
        cell.protection = Protection(locked=look != "input")
        return cell
