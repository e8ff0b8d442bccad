"""A job as a spreadsheet to fill in: every field with its explanation, lists to choose from, what is needed marked."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.styles import Alignment, Border, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from quoting.documents.workbook.book import LONG_AGO, dated_bytes
from quoting.documents.workbook.cells import FILLS, NOT_IN_XML, Page, clean
from quoting.job.book_cells import (
    AS_TOML,
    CAUSE,
    EXAMPLE,
    FIRST_ENTRY,
    HEADS,
    LISTS,
    NAME,
    SINGLE,
    choices_of,
    field_hint,
    hint,
    meant,
    tables_within,
)
from quoting.job.starters import Field, Section, sections
from quoting.job.text import listed
from quoting.reading.splice import toml_value

YES_NO = ("yes", "no")
SPARE_ROWS = 60
"""Entries that a sheet has room for with their lists to choose from, beyond those that are there."""

WIDE, NARROW, BROAD = 44.0, 18.0, 60.0
EXPLAINED_POINTS = 105
"""Height of the row of explanations: seven lines."""

TEXT_SHAPE = "@"
WRAPPED = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)
EDGE = Side("hair", color="BFBFBF")
CELL = Border(left=EDGE, right=EDGE, top=EDGE, bottom=EDGE)
"""A fill hides the lines of a sheet: every cell to fill in has its own."""


def write_lists(page: Page, lists: Mapping[str, Sequence[str]]) -> None:
    """The hidden sheet whose columns the fields choose from."""
    for column, (name, values) in enumerate(lists.items(), start=1):
        letter = get_column_letter(column)
        page.text(f"{letter}1", name, "head")
        for row, value in enumerate(values, start=2):
            page.text(f"{letter}{row}", toml_value(value) if value.startswith(AS_TOML) else value)
    page.sheet.sheet_state = "hidden"


def offer(sheet: Worksheet, at: str, section: str, field: str, lists: Mapping[str, Sequence[str]]) -> None:
    """Let the cells choose, where their field takes one of a few values, or names what stands in a list."""
    name = listed(section, field)
    if lists.get(name):
        letter = get_column_letter(list(lists).index(name) + 1)
        formula = f"{LISTS}!${letter}$2:${letter}${len(lists[name]) + 1}"
    else:
        choices = YES_NO if field_hint(section, field) is bool else choices_of(section, field)
        if not choices:
            return
        formula = f'"{",".join(choices)}"'
    rule = DataValidation(type="list", formula1=formula, allow_blank=True, showErrorMessage=False)
    sheet.add_data_validation(rule)
    rule.add(at)


def job_book_bytes(
    raw: Mapping[str, Any], lists: Mapping[str, Sequence[str]], example: Mapping[str, Any] | None = None
) -> bytes:
    """The workbook of a job from its raw tables, the starter job's fields where it says nothing; `lists` to choose from, by name.
    Another job may stand on a sheet apart as an `example`, which nobody reads as the job.
    """
    book = Workbook()
    known = sections("job.toml")
    page = Page(book.worksheets[0], 2)
    page.sheet.title = SINGLE
    single = {name: one for name, one in known.items() if not one.many and not name.startswith(CAUSE)}
    _write_job(page, single, raw, lists)
    factor = next(one for one in known.values() if one.name.startswith(f"{CAUSE}.")).fields
    causes = [{"name": name, **table} for name, table in raw.get(CAUSE, {}).items()]
    many = [one for one in known.values() if one.many and "." not in one.name]
    for section in (*many, Section(CAUSE, True, "", (NAME, *factor))):
        entries = causes if section.name == CAUSE else raw.get(section.name, [])
        _write_section(Page(book.create_sheet(section.name), 2), section, entries, lists)
    if example is not None:
        _write_example(Page(book.create_sheet(EXAMPLE), 2), example)
    for sheet in book.worksheets:
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.fitToHeight = 0
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    write_lists(Page(book.create_sheet(LISTS), 2), lists)
    return dated_bytes(book, LONG_AGO)


def _write_job(
    page: Page, known: Mapping[str, Section], raw: Mapping[str, Any], lists: Mapping[str, Sequence[str]]
) -> None:
    for letter, head, wide in zip("ABCD", HEADS, (NARROW, NARROW, WIDE, BROAD), strict=True):
        page.text(f"{letter}1", head, "head")
        page.sheet.column_dimensions[letter].width = wide
    row = 2
    for name, section in known.items():
        table = raw.get(name, {})
        fields = {field.name: field for field in section.fields}
        for field in [*fields, *(one for one in table if one not in fields)]:
            page.text(f"A{row}", name)
            page.text(f"B{row}", field, "bold")
            _put(page, f"C{row}", table.get(field), name, field)
            page.sheet[f"C{row}"].alignment = WRAPPED
            page.text(f"D{row}", _words(name, fields.get(field)), "note")
            offer(page.sheet, f"C{row}", name, field, lists)
            row += 1
    page.sheet.freeze_panes = "C2"


def _write_section(
    page: Page, section: Section, entries: Sequence[Mapping[str, Any]], lists: Mapping[str, Sequence[str]]
) -> None:
    fields = {field.name: field for field in (*section.fields, *tables_within(section.name))}
    last = FIRST_ENTRY + len(entries) + SPARE_ROWS
    names = dict.fromkeys((*fields, *(key for entry in entries for key in entry)))
    for column, name in enumerate(names, start=1):
        letter = get_column_letter(column)
        page.text(f"{letter}1", name, "head")
        page.text(f"{letter}2", _words(section.name, fields.get(name)), "hint")
        page.sheet.column_dimensions[letter].width = NARROW
        for row, entry in enumerate([*entries, *[{}] * SPARE_ROWS], start=FIRST_ENTRY):
            _put(page, f"{letter}{row}", entry.get(name), section.name, name)
        offer(page.sheet, f"{letter}{FIRST_ENTRY}:{letter}{last - 1}", section.name, name, lists)
    page.sheet.row_dimensions[2].height = EXPLAINED_POINTS
    page.sheet.freeze_panes = f"B{FIRST_ENTRY}"


def _write_example(page: Page, raw: Mapping[str, Any]) -> None:
    """A job as it is filled in, field by field: to look at."""
    for letter, head, wide in zip("ABC", HEADS, (NARROW, NARROW, WIDE), strict=False):
        page.text(f"{letter}1", head, "head")
        page.sheet.column_dimensions[letter].width = wide
    page.text("A2", "So a job looks that is filled in. Nothing on this sheet is read.", "note")
    row = 4
    for name, table in raw.items():
        for entry in table if isinstance(table, list) else [table] if isinstance(table, dict) else ():
            for field, value in entry.items():
                said = value if isinstance(value, str) else toml_value(value)
                for letter, words in zip("ABC", (name, field, said), strict=True):
                    page.text(f"{letter}{row}", words)
                row += 1
            row += 1
    page.sheet.freeze_panes = "A2"


def _words(section: str, field: Field | None) -> str:
    return hint(section, field) if field is not None else ""


def _put(page: Page, at: str, value: Any, section: str, field: str) -> None:
    """A value as the reader takes it back. Cells are shaped as text, so that 1/2 stays 1/2: numbers, days, yes and no are taken from text too."""
    cell: Cell = page.sheet[at]
    if value is None:
        cell.number_format = TEXT_SHAPE
    elif isinstance(value, bool | int | float):
        cell.value = value
    elif isinstance(value, date):
        cell.value, cell.number_format = value, "yyyy-mm-dd"
    else:
        escaped = NOT_IN_XML.sub(lambda sign: f"\\u{ord(sign[0]):04x}", toml_value(value))
        page.text(at, value if _is_plain(value, section, field) else escaped)
        cell.number_format = TEXT_SHAPE
    cell.fill, cell.border = FILLS["input"], CELL


def _is_plain(value: Any, section: str, field: str) -> bool:
    """True of text that a cell holds as it is, and that nobody takes for anything else."""
    return (
        isinstance(value, str)
        and value == value.strip() != ""
        and clean(value) == value
        and "\r" not in value
        and not value.startswith(AS_TOML)
        and bool(meant(section, field, value) == value)
    )
