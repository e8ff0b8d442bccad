"""A job as a spreadsheet to fill in: every field with its explanation, lists to choose from, what a job already says."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties

from quoting.documents.cells import NOT_IN_XML, Page, clean
from quoting.documents.sheet_looks import FILLS
from quoting.inputs.job_book import AS_TOML, CAUSE, FIRST_ENTRY, HEADS, LISTS, SINGLE, field_hint
from quoting.inputs.job_text import toml_value
from quoting.inputs.tables import tables
from quoting.inputs.template import Field, Section, sections

if TYPE_CHECKING:
    import re
    from collections.abc import Iterator, Mapping, Sequence

    from openpyxl.cell.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

SPARE_ROWS = 60
"""Entries that a sheet has room for with their lists to choose from, beyond those that are there."""

WIDE, NARROW, EXPLAINED = 44.0, 18.0, 60.0
TEXT_SHAPE = "@"
YES_NO = ("TRUE", "FALSE")
NAMED_LISTS = {"species": "species", "fibre": "fibres", "metal": "metals"}
"""Fields whose values a reference table names."""


def job_book_bytes(raw: Mapping[str, Any]) -> bytes:
    """The workbook of a job from its raw tables; the starter job's fields where it says nothing."""
    book = Workbook()
    known = sections("job.toml")
    lists = _lists()
    page = Page(book.worksheets[0], 2)
    page.sheet.title = SINGLE
    single = {name: one for name, one in known.items() if not one.many and not name.startswith(CAUSE)}
    _write_job(page, single, raw, lists)
    for section in known.values():
        if section.many and "." not in section.name:
            entries = [entry for entry in raw.get(section.name, []) if isinstance(entry, dict)]
            _write_section(Page(book.create_sheet(section.name), 2), section, entries, lists)
    causes = [{"name": name, **table} for name, table in raw.get(CAUSE, {}).items()]
    factor = next(one for one in known.values() if one.name.startswith(f"{CAUSE}.")).fields
    name = Field("name", '"wild_grain"', "by which ranges name it", False, False)
    _write_section(
        Page(book.create_sheet(CAUSE), 2), Section(CAUSE, True, "", (name, *factor)), causes, lists
    )
    _write_lists(Page(book.create_sheet(LISTS), 2), lists)
    for sheet in book.worksheets:
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.fitToHeight = 0
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _lists() -> dict[str, list[str]]:
    found = tables()
    return {name: sorted(getattr(found, table)) for name, table in NAMED_LISTS.items()}


def _write_lists(page: Page, lists: Mapping[str, Sequence[str]]) -> None:
    for column, (name, values) in enumerate(lists.items(), start=1):
        letter = get_column_letter(column)
        page.text(f"{letter}1", name, "head")
        for row, value in enumerate(values, start=2):
            page.text(f"{letter}{row}", value)
    page.sheet.sheet_state = "hidden"


def _write_job(
    page: Page, known: Mapping[str, Section], raw: Mapping[str, Any], lists: Mapping[str, Sequence[str]]
) -> None:
    for letter, head, wide in zip("ABCD", HEADS, (NARROW, NARROW, WIDE, EXPLAINED), strict=True):
        page.text(f"{letter}1", head, "head")
        page.sheet.column_dimensions[letter].width = wide
    row = 2
    for name in [
        *known,
        *(one for one in raw if one not in known and isinstance(raw[one], dict) and one != CAUSE),
    ]:
        table = raw.get(name, {})
        fields = {field.name: field for field in known[name].fields} if name in known else {}
        for field in [*fields, *(one for one in table if one not in fields)]:
            page.text(f"A{row}", name)
            page.text(f"B{row}", field, "bold")
            _put(page, f"C{row}", table.get(field), fields.get(field))
            page.text(f"D{row}", _explained(fields.get(field)), "note")
            _offer(page.sheet, f"C{row}", name, field, lists)
            row += 1
    page.sheet.freeze_panes = "C2"


def _write_section(
    page: Page, section: Section, entries: Sequence[Mapping[str, Any]], lists: Mapping[str, Sequence[str]]
) -> None:
    fields = {field.name: field for field in section.fields}
    if section.name == "laminate":
        fields["flatten"] = Field(
            "flatten",
            '[{ after = "last", removes = "0.5 .. 1 .. 2 mm", hours = "2 h" }]',
            "what is flattened off, and when",
            False,
            False,
        )
    for column, name in enumerate(
        dict.fromkeys((*fields, *(key for entry in entries for key in entry))), start=1
    ):
        letter = get_column_letter(column)
        field = fields.get(name)
        page.text(f"{letter}1", name, "head")
        page.text(f"{letter}2", _explained(field), "wrap")
        page.sheet.column_dimensions[letter].width = NARROW
        last = FIRST_ENTRY + len(entries) + SPARE_ROWS
        for row in range(FIRST_ENTRY, last):
            entry = entries[row - FIRST_ENTRY] if row - FIRST_ENTRY < len(entries) else {}
            _put(page, f"{letter}{row}", entry.get(name), field)
        _offer(page.sheet, f"{letter}{FIRST_ENTRY}:{letter}{last}", section.name, name, lists)
    page.sheet.freeze_panes = f"B{FIRST_ENTRY}"


def _explained(field: Field | None) -> str:
    """How a value is written, and what the comment of the starter job says."""
    if field is None:
        return ""
    example = field.value.strip(chr(34))
    such = f"such as {example}" if example not in ("", "[]", "{}") else ""
    return ". ".join(words for words in (such, field.words) if words)


def _put(page: Page, at: str, value: Any, field: Field | None) -> None:
    """A value as the reader takes it back; an empty cell is shaped as text where text belongs, so that 1/2 stays 1/2."""
    cell: Cell = page.sheet[at]
    if value is None:
        cell.number_format = TEXT_SHAPE if field is None or field.value.startswith('"') else "General"
    elif isinstance(value, bool | int | float):
        cell.value = value
    elif isinstance(value, date):
        cell.value, cell.number_format = value, "yyyy-mm-dd"
    else:
        page.text(at, value if _is_plain(value) else NOT_IN_XML.sub(_escaped, toml_value(value)))
        cell.number_format = TEXT_SHAPE
    cell.fill = FILLS["input"]


def _is_plain(value: Any) -> bool:
    """True of text that a cell holds as it is, and that nobody takes for anything else."""
    return (
        isinstance(value, str)
        and value == value.strip() != ""
        and clean(value) == value
        and "\r" not in value
        and not value.startswith(AS_TOML)
    )


def _escaped(sign: re.Match[str]) -> str:
    return f"\\u{ord(sign[0]):04x}"


def _offer(sheet: Worksheet, at: str, section: str, field: str, lists: Mapping[str, Sequence[str]]) -> None:
    """A list to choose from, where a field takes one of a few values; other values are told when the job is read."""
    if field in lists:
        column = get_column_letter(list(lists).index(field) + 1)
        formula = f"{LISTS}!${column}$2:${column}${len(lists[field]) + 1}"
    else:
        choices = tuple(_choices(section, field))
        if not choices:
            return
        formula = f'"{",".join(choices)}"'
    rule = DataValidation(type="list", formula1=formula, allow_blank=True, showErrorMessage=False)
    sheet.add_data_validation(rule)
    rule.add(at)


def _choices(section: str, field: str) -> Iterator[str]:
    """Values of a field that takes one of a few, by the type of its record."""
    kind = field_hint(section, field)
    for one in (kind, *get_args(kind)):
        if get_origin(one) is Literal:
            yield from map(str, get_args(one))
            return
        if one is bool:
            yield from YES_NO
            return
