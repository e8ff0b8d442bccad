"""Cells of the workbook: text that stays text, formulas beside their known values, and bytes that repeat."""

import math
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.drawing.image import Image
from openpyxl.styles import Alignment, Protection
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from quoting.documents.pictures.marks import Figure
from quoting.documents.pictures.writers import png_bytes
from quoting.documents.workbook.looks import (
    DAY,
    FILLS,
    FONTS,
    PLAIN,
    RIGHT,
    SUM_LINE,
    Look,
    money_format,
    set_up,
    widths,
)
from quoting.money import PLACES
from quoting.pricing.record import Priced

LONGEST = 32_767  # characters of one cell, counted in UTF-16 as spreadsheets do
LONGEST_FORMULA = 8_192
STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
NOT_IN_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")
PICTURE_WIDTH, ROW_PIXELS = 700, 20
FORMULA_CELL = re.compile(r'<c r="([A-Z]+\d+)"([^>]*)><f>(.*?)</f><v\s*(?:/>|></v>)</c>', re.DOTALL)
STAMP = re.compile(r"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:\2>)")
LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the earliest date a zip archive can tell


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

    def number(self, at: str, value: float | Decimal, shape: str, look: Look = "plain") -> None:
        """A number. Raises ValueError for NaN and infinity, which no spreadsheet can read."""
        if not math.isfinite(value):
            raise ValueError(f"{value} cannot stand in cell {at}")
        cell = self.dressed(at, look)
        cell.value = float(value)
        cell.number_format = shape
        cell.alignment = RIGHT

    def numbers(
        self, row: int, letters: str, values: Iterable[float | Decimal], shape: str, look: Look = "plain"
    ) -> None:
        """Numbers of one kind beside one another, each in the column of its letter."""
        for letter, value in zip(letters, values, strict=True):
            self.number(f"{letter}{row}", value, shape, look)

    def money(self, at: str, value: float | Decimal, look: Look = "plain") -> None:
        """An amount in the currency of the job."""
        self.number(at, value, money_format(self.digits), look)

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
        widths(page.sheet)
        set_up(page.sheet, priced.shop.shop.paper)
    workbook.properties.title = clean(title)
    workbook.properties.creator = clean(priced.shop.shop.name)
    workbook.properties.created = datetime(priced.day.year, priced.day.month, priced.day.day)
    saved, sealed = BytesIO(), BytesIO()
    workbook.save(saved)
    values = {f"xl/worksheets/sheet{i}.xml": page.values for i, page in enumerate(pages.values(), start=1)}
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(sealed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = old.read(name)
            if name in values:
                part = _with_values(part.decode("utf-8"), values[name]).encode("utf-8")
            if name == "docProps/core.xml":
                dated = STAMP.sub(rf"\g<1>{priced.day.isoformat()}T00:00:00Z\g<3>", part.decode("utf-8"))
                part = dated.encode("utf-8")
            entry = zipfile.ZipInfo(name, LONG_AGO)
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
