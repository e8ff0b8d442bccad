"""Cells of the workbook: text that stays text, finite numbers, formulas beside their known values."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.worksheet.datavalidation import DataValidation

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date
    from decimal import Decimal

    from openpyxl.worksheet.worksheet import Worksheet

Look = Literal["plain", "input", "grey", "sum", "head", "title", "note", "wrap"]

LONGEST = 32_767  # characters of one cell, counted in UTF-16 as spreadsheets do
STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
NOT_IN_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")

INPUT_COLOUR, GREY_COLOUR = "FFF2CC", "E7E6E6"
HEAD_FILL = PatternFill("solid", fgColor="DDE5E1")
FILLS = {
    "input": PatternFill("solid", fgColor=INPUT_COLOUR),
    "grey": PatternFill("solid", fgColor=GREY_COLOUR),
}
FACE = "Calibri"
PLAIN = Font(name=FACE, size=11)
FONTS = {
    "grey": Font(name=FACE, size=11, color="595959"),
    "sum": Font(name=FACE, size=11, bold=True),
    "head": Font(name=FACE, size=11, bold=True),
    "title": Font(name=FACE, size=15, bold=True),
    "note": Font(name=FACE, size=11, color="595959", italic=True),
}
LINE_POINTS, TALLEST_POINTS = 15, 409  # height of a line of text; the tallest row a spreadsheet takes
RIGHT = Alignment(horizontal="right", vertical="top")
SUM_LINE = Border(top=Side("thin", color="7F7F7F"))
SHARE, DAY, COUNT = "0.00%", "yyyy-mm-dd", "General"


def clean(words: object) -> str:
    """Text as a cell can hold it: no characters that XML forbids, and not too long."""
    kept = NOT_IN_XML.sub("", ILLEGAL_CHARACTERS_RE.sub("", str(words))).replace("\r\n", "\n")
    return kept.encode("utf-16-le")[: 2 * LONGEST].decode("utf-16-le", "ignore")


def money_format(digits: int) -> str:
    """Number format of an amount with so many minor digits."""
    return "#,##0" + ("." + "0" * digits if digits else "")


def rate_format(digits: int) -> str:
    """Number format of a price for one unit: often finer than money itself."""
    return "#,##0." + "0" * max(digits, 2) + "##"


def rounded(formula: str, digits: int) -> str:
    """A formula of money rounded to minor digits."""
    return f"ROUND({formula},{digits})"


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet being written. `known` holds the value of every formula, for programs that do not reckon."""

    sheet: Worksheet
    digits: int
    known: dict[str, float | str] = field(default_factory=dict)
    _rules: dict[str, DataValidation] = field(default_factory=dict)

    def text(self, at: str, words: object, look: Look = "plain") -> None:
        """Words of anybody: never a formula, whatever they start with."""
        cell = self._dressed(at, look)
        # A little distance from a number in the column before; the first column has none before it.
        distance = 0 if at.startswith("A") else 1
        wraps = look in ("wrap", "head")
        cell.alignment = Alignment(horizontal="left", vertical="top", wrap_text=wraps, indent=distance)
        cell.value = clean(words)
        cell.data_type = "s"
        if str(cell.value).startswith(STARTS_FORMULA):
            cell.quotePrefix = True

    def number(self, at: str, value: float | Decimal, shape: str, look: Look = "plain") -> None:
        """A number. Raises ValueError for NaN and infinity, which no spreadsheet can read."""
        if not math.isfinite(value):
            raise ValueError(f"{value} cannot stand in cell {at}")
        cell = self._dressed(at, look)
        cell.value = float(value)
        cell.number_format = shape
        cell.alignment = RIGHT

    def money(self, at: str, value: float | Decimal, look: Look = "plain") -> None:
        """An amount in the currency of the job."""
        self.number(at, value, money_format(self.digits), look)

    def day(self, at: str, day: date) -> None:
        """A day of the calendar."""
        cell = self._dressed(at, "plain")
        cell.value, cell.number_format = day, DAY
        cell.alignment = Alignment(horizontal="left", vertical="top", indent=1)

    def formula(
        self, at: str, formula: str, value: float | Decimal | str, shape: str = "", look: Look = "plain"
    ) -> None:
        """A formula (without =) and the value that the engine knows for it. Money, unless `shape` says other."""
        known = value if isinstance(value, str) else float(value)
        if isinstance(known, float) and not math.isfinite(known):
            raise ValueError(f"{value} cannot stand in cell {at}")
        cell = self._dressed(at, look)
        cell.value = f"={formula}"
        cell.number_format = shape or money_format(self.digits)
        cell.alignment = RIGHT
        self.known[at] = known

    def share_input(self, at: str, value: float | Decimal, whole: bool = False) -> None:
        """A share that may be changed, from 0 to below 100 %; `whole` allows 100 % and more."""
        self.number(at, value, SHARE, "input")
        if whole:
            self._allow(at, "amount", type="decimal", operator="greaterThanOrEqual", formula1="0")
        else:
            self._allow(at, "share", type="decimal", operator="between", formula1="0", formula2="0.9999")

    def amount_input(self, at: str, value: float | Decimal, shape: str = "") -> None:
        """An amount, a quantity or a rate that may be changed, zero or more."""
        self.number(at, value, shape or money_format(self.digits), "input")
        self._allow(at, "amount", type="decimal", operator="greaterThanOrEqual", formula1="0")

    def choice_input(self, at: str, value: str, choices: tuple[str, ...]) -> None:
        """One of a few words."""
        self.text(at, value, "input")
        self.sheet[at].alignment = RIGHT
        self._allow(at, "/".join(choices), type="list", formula1=f'"{",".join(choices)}"')

    def lock(self, at: str) -> None:
        """Keep a cell from being changed that only looks like an input."""
        self.sheet[at].protection = Protection(locked=True)

    def heads(self, row: int, words: Sequence[str], figures: str) -> None:
        """A header row from column A on; `figures` are the letters of columns that hold numbers."""
        for letter, head in zip("ABCDEFGHIJKL", words, strict=False):
            self.text(f"{letter}{row}", head, "head")
            if letter in figures:
                self.sheet[f"{letter}{row}"].alignment = Alignment(
                    horizontal="right", vertical="top", wrap_text=True
                )

    def fit(self, **widths: float) -> None:
        """Column widths in characters, by letter; and rows as tall as their wrapped text then needs.

        Spreadsheets differ in whether they find the height of a row by themselves; so it is written.
        """
        for letter, width in widths.items():
            self.sheet.column_dimensions[letter].width = width
        for row, cells in enumerate(self.sheet.iter_rows(), start=1):
            wrapped = [cell for cell in cells if cell.alignment.wrap_text and cell.value]
            lines = [
                sum(1 + len(line) // int(widths[cell.column_letter]) for line in str(cell.value).split("\n"))
                for cell in wrapped
            ]
            if max(lines, default=1) > 1:
                self.sheet.row_dimensions[row].height = min(LINE_POINTS * max(lines), TALLEST_POINTS)

    def _allow(self, at: str, kind: str, **rule: Any) -> None:
        if kind not in self._rules:
            wanted = {"share": "a share from 0 to below 100 %", "amount": "a number, 0 or more"}.get(
                kind, kind
            )
            self._rules[kind] = DataValidation(
                allow_blank=False,
                showErrorMessage=True,
                errorTitle="Not here",
                error=f"Write {wanted}.",
                **rule,
            )
            self.sheet.add_data_validation(self._rules[kind])
        self._rules[kind].add(at)

    def _dressed(self, at: str, look: Look) -> Any:
        cell: Any = self.sheet[at]
        cell.font = FONTS.get(look, PLAIN)
        if look in FILLS:
            cell.fill = FILLS[look]
        if look == "head":
            cell.fill = HEAD_FILL
        if look == "sum":
            cell.border = SUM_LINE
        cell.protection = Protection(locked=look != "input")
        return cell
