"""The workbook being written: what all sheets share, how they fit screen and paper, and bytes that repeat."""

import re
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from io import BytesIO
from textwrap import wrap
from types import MappingProxyType
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from quoting.documents.workbook.cells import Look, Page, clean
from quoting.formulas.formula import Formulas
from quoting.formulas.number import Number, value_of
from quoting.formulas.plan import LivePlan
from quoting.pricing.record import Priced

TITLE_POINTS, LINE_POINTS = 21, 15  # height of a line of text
TALLEST_POINTS = 409  # of a row that a spreadsheet takes
PAPER = {"Letter": 1, "A4": 9}  # sizes by the numbers of the file format

WIDTHS: dict[str, tuple[float, ...]] = {
    "Price": (42, 18, 14, 14, 14, 14, 30),
    "Lines": (24, 22, 12, 11, 12, 9, 13, 13, 9, 48, 30, 26),
    "Buying": (34, 12, 20, 12, 9, 14, 24, 11, 12),
    "Steps": (34, 14, 14, 14, 14, 14, 14, 16),
    "Selling": (48, 18),
    "Risk": (52, 16, 14, 14, 26),
    "Review": (62, 16),
    "Differences": (40, 10),
}
"""Of the first columns, by sheet, in characters; those of other sheets, and of other columns."""
FIRST_COLUMNS, USUAL = (34.0, 22.0), 14.0
EDGES = 0.5  # of a cell, in characters

FORMULA_CELL = re.compile(r'<c r="([A-Z]+\d+)"([^>]*)><f>(.*?)</f><v\s*(?:/>|></v>)</c>', re.DOTALL)
STAMP = re.compile(r"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:\2>)")
LONG_AGO = date(1980, 1, 1)  # the earliest that a zip archive can tell
NO_VALUES: Mapping[str, Mapping[str, float | str]] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Book:
    """What all sheets share. `results` is the cell of every line's quantity; `marks` those that tell a change,
    `dated` the first and last row of the items with a dated price.
    """

    priced: Priced
    plan: LivePlan
    formulas: Formulas = field(default_factory=Formulas)
    results: dict[str, str] = field(default_factory=dict)
    marks: list[str] = field(default_factory=list)
    dated: list[int] = field(default_factory=list)

    def figure(
        self, page: Page, at: str, one: Any, shape: str, size: float = 1.0, look: Look = "plain"
    ) -> None:
        """A number of the plan: a formula where it rests on cells, else fixed and grey."""
        sheet, value = page.sheet.title, value_of(one) / size
        letters = at.rstrip("0123456789")
        own = f"{sheet}!${letters}${at[len(letters) :]}"
        if isinstance(one, Number):
            here = one in self.formulas.cells and self.formulas.cells[one].at == own
            text = self.formulas.spelled(one, size) if here else self.formulas.of(one, size)
            if "!" in text or "tax_rate" in text:
                page.formula(at, text.replace(f"{sheet}!", ""), value, shape, look)
                return
        page.number(at, value, shape, "grey" if look == "plain" else look)


def new_book(names: Iterable[str], digits: int) -> tuple[Workbook, dict[str, Page]]:
    """A workbook of these sheets, and its pages by name."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    return workbook, {name: Page(workbook.create_sheet(name), digits) for name in names}


def book_bytes(workbook: Workbook, pages: Mapping[str, Page], priced: Priced, title: str) -> bytes:
    """The filled workbook as a file: values in its formula cells, dated as the price is, no trace of when it was written.

    Raises KeyError for a formula whose value is not known: a preview would show it empty.
    """
    for page in pages.values():
        _fit_columns(page.sheet)
        _set_up(page.sheet, priced.shop.shop.paper)
    workbook.properties.title = clean(title)
    workbook.properties.creator = clean(priced.shop.shop.name)
    workbook.properties.created = datetime(priced.day.year, priced.day.month, priced.day.day)
    values = {f"xl/worksheets/sheet{i}.xml": page.values for i, page in enumerate(pages.values(), start=1)}
    return dated_bytes(workbook, priced.day, values)


def dated_bytes(
    workbook: Workbook, day: date, values: Mapping[str, Mapping[str, float | str]] = NO_VALUES
) -> bytes:
    """A workbook as a file that is dated `day`, whenever it is written; `values` of formulas by the part of the file and the cell."""
    saved, sealed = BytesIO(), BytesIO()
    workbook.save(saved)
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(sealed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = old.read(name)
            if name in values:
                part = _with_values(part.decode("utf-8"), values[name]).encode("utf-8")
            if name == "docProps/core.xml":
                dated = STAMP.sub(rf"\g<1>{day.isoformat()}T00:00:00Z\g<3>", part.decode("utf-8"))
                part = dated.encode("utf-8")
            entry = zipfile.ZipInfo(name, (*LONG_AGO.timetuple()[:3], 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, part)
    return sealed.getvalue()


def _with_values(xml: str, values: Mapping[str, float | str]) -> str:
    def valued(found: re.Match[str]) -> str:
        at, attributes, formula = found.groups()
        value = values[at]
        kind = ' t="str"' if isinstance(value, str) else ""
        shown = escape(value) if isinstance(value, str) else repr(value)
        return f'<c r="{at}"{attributes}{kind}><f>{formula}</f><v>{shown}</v></c>'

    return FORMULA_CELL.sub(valued, xml)


def _fit_columns(sheet: Worksheet) -> None:
    """Column widths in characters; and rows as tall as their wrapped text then needs.

    Spreadsheets differ in whether they find the height of a row by themselves; so it is written.
    """
    for column in range(1, sheet.max_column + 1):
        sheet.column_dimensions[get_column_letter(column)].width = _wide(sheet, column)
    for row, cells in enumerate(sheet.iter_rows(), start=1):
        lines = [
            sum(max(len(wrap(line, _letters(cell))), 1) for line in str(cell.value).split("\n"))
            for cell in cells
            if cell.alignment.wrap_text and cell.value
        ]
        if max(lines, default=1) > 1:
            sheet.row_dimensions[row].height = min(LINE_POINTS * max(lines), TALLEST_POINTS)


def _wide(sheet: Any, column: int) -> float:
    own = WIDTHS.get(sheet.title, FIRST_COLUMNS)
    return own[column - 1] if column <= len(own) else USUAL


def _letters(cell: Any) -> int:
    """Characters of a cell's text that fit its column, behind its indent: bold ones are wider."""
    room = _wide(cell.parent, cell.column) - cell.alignment.indent - EDGES
    return int(room * (0.8 if cell.font.bold else 1))


def _set_up(sheet: Worksheet, paper: str) -> None:
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
