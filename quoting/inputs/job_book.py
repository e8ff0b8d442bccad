"""A job that is filled in as a spreadsheet: read into the tables of a job file, and where each of them stands.

The sheet "Job" has a row a field; every other sheet is named after a section and has a column a field: names in the first
row, explanations in the second, an entry a row from the third on. A cell holds a number, a day, yes or no, or text; lists and tables stand in
it as a job file writes them, and so does text that could be taken for one of these, in quotes.
"""

from __future__ import annotations

import tomllib
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, NamedTuple, get_args, get_type_hints
from zipfile import BadZipFile

from quoting.errors import Problem, Problems, nearest
from quoting.inputs.job import Job
from quoting.inputs.job_text import job_lines
from quoting.inputs.sources import LARGEST_FILE, Source, fingerprint
from quoting.inputs.template import sections

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from openpyxl.cell.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

    from quoting.inputs.job_text import Path as At

SUFFIX = ".xlsx"
SINGLE, LISTS, CAUSE = "Job", "Lists", "cause"
HEADS = ("Section", "Field", "Value", "How it is written")
FIRST_ENTRY = 3
MOST_ROWS, MOST_COLUMNS = 5_000, 200
AS_TOML = ("[", "{", '"')
"""How text begins that is read as a job file writes it."""


class Said(NamedTuple):
    """A value of a cell, and where it stands."""

    value: Any
    where: str


def read_job_book(path: Path) -> Source:
    """The job of a spreadsheet as a source: the text of a job file, with the cell of each of its lines. Problems with their cells."""
    problems: list[Problem] = []
    raw: dict[str, Any] = {"format": 1}
    cells: dict[At, str] = {}
    for sheet in _sheets(path, problems):
        if sheet.title == SINGLE:
            _read_job(sheet, raw, cells, problems)
        elif sheet.title != LISTS:
            _read_section(sheet, raw, cells, problems)
    if problems:
        raise Problems([problem.at(f"{path.name}, {problem.file}", 0) for problem in problems])
    lines = list(job_lines(raw, explained=False))
    text = "\n".join(line.text for line in lines) + "\n"
    where = {number: cells[line.path] for number, line in enumerate(lines, start=1) if line.path in cells}
    return Source(path.name, text, tomllib.loads(text), fingerprint(text), where)


def _sheets(path: Path, problems: list[Problem]) -> Sequence[Any]:
    """The sheets that hold something, with formulas replaced by their values."""
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        if path.stat().st_size > LARGEST_FILE:
            raise Problems(
                [Problem("", f"found more than {LARGEST_FILE} bytes", "write a smaller file", str(path))]
            )
        with path.open("rb") as file:
            valued = load_workbook(file, data_only=True)
        with path.open("rb") as file:
            written = load_workbook(file)
    except OSError as error:
        raise Problems(
            [Problem("", f"cannot be read: {error.strerror}", "name a file that exists", str(path))]
        ) from None
    except (BadZipFile, InvalidFileException, KeyError, ValueError):
        raise Problems([Problem("", "found no spreadsheet", "save it as .xlsx", path.name)]) from None
    known = {
        name: name
        for name in (SINGLE, LISTS, CAUSE, *(one.name for one in sections("job.toml").values() if one.many))
    }
    found = []
    for sheet in valued.worksheets:
        if sheet.title not in known:
            problems.append(
                Problem(
                    "",
                    "found a sheet that is no section of a job",
                    nearest(sheet.title, known),
                    _sheet(sheet),
                )
            )
        elif sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
            problems.append(
                Problem(
                    "",
                    f"found more than {MOST_ROWS} rows or {MOST_COLUMNS} columns",
                    "delete the empty ones below and beside your entries",
                    _sheet(sheet),
                )
            )
        else:
            problems += _without_value(sheet, written[sheet.title])
            found.append(sheet)
    if SINGLE not in [sheet.title for sheet in found]:
        problems.append(
            Problem(
                "", f'found no sheet "{SINGLE}"', "begin with the file of quoting start --sheet", "workbook"
            )
        )
    return found


def _without_value(valued: Worksheet, written: Worksheet) -> Iterator[Problem]:
    """Formulas that no program has reckoned, or that end in an error."""
    for row in written.iter_rows():
        for cell in row:
            value = valued[cell.coordinate].value if cell.data_type == "f" else ""
            if value is None or (isinstance(value, str) and value.startswith("#")):
                yield Problem(
                    "", "found a formula without a value", "write the value itself", _cell(valued, cell)
                )


def record_of(section: str) -> Any:
    """The record of a section of a job, or of its entries; None where there is none."""
    hint = get_type_hints(Job).get(section)
    while hint is not None and not hasattr(hint, "__dataclass_fields__"):
        inner = [one for one in get_args(hint) if one not in (type(None), Ellipsis)]
        hint = inner[0] if inner else None
    return hint


def field_hint(section: str, field: str) -> Any:
    """The type of a field of a job, by its section; None where there is none."""
    record = record_of(section)
    return get_type_hints(record).get(field) if record is not None else None


def _as_text(section: str, field: str, said: Said) -> Any:
    """A number that stands where text belongs, as text: a code of 7, a note of 2027."""
    value = said.value
    if isinstance(value, int | float) and not isinstance(value, bool) and field_hint(section, field) is str:
        return f"{value:.15g}"
    return value


def _read_job(sheet: Worksheet, raw: dict[str, Any], cells: dict[At, str], problems: list[Problem]) -> None:
    """A row a field: its section, its name, its value."""
    for row in sheet.iter_rows(min_row=2, max_col=3):
        section, name, value = row
        if value.value is None:
            continue
        path = (str(section.value or "").strip(), str(name.value or "").strip())
        if not all(path):
            problems.append(
                Problem(
                    "",
                    "found a value without its section and field",
                    "write both beside it",
                    _cell(sheet, value),
                )
            )
            continue
        said = _said(sheet, value, problems)
        if said is not None:
            raw.setdefault(path[0], {})[path[1]] = _as_text(*path, said)
            cells[path] = said.where
            cells.setdefault(path[:1], _cell(sheet, section))


def _read_section(
    sheet: Worksheet, raw: dict[str, Any], cells: dict[At, str], problems: list[Problem]
) -> None:
    """A column a field, an entry a row."""
    heads = [str(cell.value or "").strip() for cell in next(sheet.iter_rows(max_row=1))]
    for row in sheet.iter_rows(min_row=FIRST_ENTRY, max_col=len(heads)):
        entry: dict[str, Said] = {}
        for name, cell in zip(heads, row, strict=True):
            if cell.value is None:
                continue
            if not name:
                problems.append(
                    Problem(
                        "",
                        "found a value in a column without a name",
                        "write the field in the first row",
                        _cell(sheet, cell),
                    )
                )
            elif (said := _said(sheet, cell, problems)) is not None:
                entry[name] = said
        if not entry:
            continue
        values = {name: _as_text(sheet.title, name, said) for name, said in entry.items()}
        if sheet.title == CAUSE:
            at: At = (CAUSE, str(values.pop("name", "")))
            raw.setdefault(CAUSE, {})[at[1]] = values
        else:
            raw.setdefault(sheet.title, []).append(values)
            at = (sheet.title, len(raw[sheet.title]) - 1)
        cells[at] = f"{_sheet(sheet)}, row {row[0].row}"
        cells |= {(*at, name): said.where for name, said in entry.items()}


def _said(sheet: Worksheet, cell: Cell | MergedCell, problems: list[Problem]) -> Said | None:
    """What a cell holds, as a job file would hold it; None, and a problem noted, where that cannot be."""
    value, where = cell.value, _cell(sheet, cell)
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, str):
        value = value.strip()
        if not value:
            return None
        if value.startswith(AS_TOML):
            try:
                value = tomllib.loads(f"value = {value}")["value"]
            except tomllib.TOMLDecodeError as error:
                wanted = "write it as a job file does, or in quotes where it is text"
                problems.append(Problem("", f"cannot be read: {error}", wanted, where))
                return None
    elif isinstance(value, float | int) and not isinstance(value, bool) and "%" in str(cell.number_format):
        value = f"{value * 100:.12g} %"
    elif isinstance(value, float) and value.is_integer():
        value = int(value)
    elif not isinstance(value, bool | int | float | date):
        problems.append(Problem("", f"found {value}", 'write a time as text, such as "45 min"', where))
        return None
    return Said(value, where)


def _sheet(sheet: Worksheet) -> str:
    return f"sheet {sheet.title}"


def _cell(sheet: Worksheet, cell: Cell | MergedCell) -> str:
    return f"{_sheet(sheet)}, cell {cell.coordinate}"
