"""A job that is filled in as a spreadsheet: opened, and read into the tables of a job file, every line with its cell."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile

from quoting.advice import Advice
from quoting.errors import Problem, refuse, refused
from quoting.job.book_cells import CAUSE, EXAMPLE, FIRST_ENTRY, LISTS, SINGLE, is_hint, place, said
from quoting.job.starters import sections
from quoting.job.text import At, job_lines
from quoting.job.validate import JOB, nearest_key
from quoting.reading.sources import Source, fingerprint, readable

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

UNREADABLE = (BadZipFile, KeyError, ValueError, SyntaxError, TypeError, AttributeError, IndexError, EOFError)
"""What opening a file may end in that is no spreadsheet, or a damaged one."""

MOST_ROWS, MOST_COLUMNS = 5_000, 200


def sheets_of(path: Path, problems: list[Problem]) -> Sequence[Any]:
    """The sheets that hold something, with formulas replaced by their values."""
    from openpyxl import load_workbook

    try:
        with readable(path):
            with path.open("rb") as file:
                valued = load_workbook(file, data_only=True)
            with path.open("rb") as file:
                written = load_workbook(file)
    except UNREADABLE:
        raise refused("", "found no spreadsheet", "save it as .xlsx", path.name, code="file_kind") from None
    known = (SINGLE, LISTS, CAUSE, *(one.name for one in sections("job.toml").values() if one.many))
    found = []
    for sheet in valued.worksheets:
        if sheet.title in (LISTS, EXAMPLE):  # ours: to choose from, and to look at
            continue
        where = f"sheet {sheet.title}"
        if sheet.title not in known:
            advice = nearest_key(JOB, sheet.title, known)
            words = "found a sheet that is no section of a job"
            problems.append(Problem.of("", words, advice, "unknown_section", name=sheet.title).at(where))
        elif sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
            many = f"found more than {MOST_ROWS} rows or {MOST_COLUMNS} columns"
            advice = "delete the empty ones below and beside your entries"
            most = {"rows": MOST_ROWS, "columns": MOST_COLUMNS}
            problems.append(Problem.of("", many, advice, "too_many", most=most).at(where))
        else:
            problems += _without_value(sheet, written[sheet.title])
            found.append(sheet)
    if SINGLE not in [sheet.title for sheet in found]:
        missing = Problem.of(
            "", f'found no sheet "{SINGLE}"', Advice("sheet_to_fill"), "missing", name=SINGLE
        )
        problems.append(missing.at("workbook"))
    return found


def _without_value(valued: Worksheet, written: Worksheet) -> Iterator[Problem]:
    """Formulas that no program has reckoned, or that end in an error."""
    for row in written.iter_rows():
        for cell in row:
            value = valued[cell.coordinate].value if cell.data_type == "f" else ""
            if value is None or (isinstance(value, str) and value.startswith("#")):
                problem = Problem.of(
                    "", "found a formula without a value", "write the value itself", "unreadable"
                )
                yield problem.at(place(valued, cell))


def read_job_book(path: Path) -> Source:
    """The job of a spreadsheet as a source: the text of a job file, with the cell of each of its lines. Problems with their cells."""
    problems: list[Problem] = []
    filled = _Filled(problems)
    for sheet in sheets_of(path, problems):
        read = filled.read_job if sheet.title == SINGLE else filled.read_section
        read(sheet)
    refuse(problem.at(f"{path.name}, {problem.file}", 0) for problem in problems)
    lines = list(job_lines(filled.raw, explained=False))
    text = "\n".join(line.text for line in lines) + "\n"
    cells = filled.cells
    where = {number: cells[line.path] for number, line in enumerate(lines, start=1) if line.path in cells}
    return Source(path.name, text, tomllib.loads(text), fingerprint(text), where)


class _Filled:
    """What the sheets of a job hold: raw tables, the cell of every value, and what is wrong."""

    def __init__(self, problems: list[Problem]) -> None:
        self.raw: dict[str, Any] = {"format": 1}
        self.cells: dict[At, str] = {}
        self.problems = problems

    def wrong(self, found: str, write: str, code: str, where: str) -> None:
        """Note a problem with its cell."""
        self.problems.append(Problem.of("", found, write, code).at(where))

    def read_job(self, sheet: Worksheet) -> None:
        """A row a field: its section, its name, its value."""
        for section, name, value in sheet.iter_rows(min_row=2, max_col=3):
            if value.value is None:
                continue
            path = (str(section.value or "").strip(), str(name.value or "").strip())
            misplaced = _wrong_place(path, self.cells)
            if misplaced is not None:
                self.wrong(*misplaced, place(sheet, value))
            elif (told := said(sheet, value, *path, self.problems)) is not None:
                self.raw.setdefault(path[0], {})[path[1]] = told
                self.cells[path] = place(sheet, value)
                self.cells.setdefault(path[:1], place(sheet, section))

    def read_section(self, sheet: Worksheet) -> None:
        """A column a field, an entry a row."""
        heads = [str(cell.value or "").strip() for cell in next(sheet.iter_rows(max_row=1))]
        self.problems += _wrong_heads(sheet, heads)
        for row in sheet.iter_rows(min_row=FIRST_ENTRY, max_col=len(heads)):
            entry: dict[str, Any] = {}
            cells: dict[str, str] = {}
            for name, cell in zip(heads, row, strict=True):
                if cell.value is None:
                    continue
                if not name:
                    found = "found a value in a column without a name"
                    self.wrong(found, "write the field in the first row", "layout", place(sheet, cell))
                elif (told := said(sheet, cell, sheet.title, name, self.problems)) is not None:
                    entry[name], cells[name] = told, place(sheet, cell)
            if entry:
                self.add(sheet.title, entry, cells, f"sheet {sheet.title}, row {row[0].row}")

    def add(self, section: str, values: dict[str, Any], cells: dict[str, str], where: str) -> None:
        """Add an entry to its section; a cause by its name."""
        if section == CAUSE:
            at: At = (CAUSE, str(values.pop("name", "")))
            if at in self.cells:
                self.wrong(f'found the cause "{at[1]}" a second time', "write another name", "twice", where)
            self.raw.setdefault(CAUSE, {})[at[1]] = values
        else:
            self.raw.setdefault(section, []).append(values)
            at = (section, len(self.raw[section]) - 1)
        self.cells[at] = where
        self.cells |= {(*at, name): cell for name, cell in cells.items()}


def _wrong_place(path: tuple[str, str], cells: dict[At, str]) -> tuple[str, str, str] | None:
    """Why a value cannot stand in a row of the sheet "Job", what to write, and the kind of fault; None where it can."""
    if not all(path):
        return "found a value without its section and field", "write both beside it", "layout"
    if path in cells:
        found = f"found {'.'.join(path)} a second time: it stands in {cells[path]} too"
        return found, "keep one of them", "twice"
    known = sections("job.toml").get(path[0])
    if path[0] == "format" or (known is not None and known.many):
        found = f'found the section "{path[0]}", which does not belong here'
        return found, "write it in the sheet of its own", "layout"
    return None


def _wrong_heads(sheet: Worksheet, heads: Sequence[str]) -> Iterator[Problem]:
    """Columns of one name, and entries in the row of explanations: they would not be seen."""
    for name in dict.fromkeys(one for one in heads if one and heads.count(one) > 1):
        yield Problem.of("", f'found two columns "{name}"', "keep one of them", "twice", name=name).at(
            f"sheet {sheet.title}, row 1"
        )
    for cell in next(sheet.iter_rows(min_row=2, max_row=2)):
        text = str(cell.value if cell.value is not None else "").strip()
        if text and not is_hint(sheet.title, text):
            found = "found an entry in the second row, which is for explanations"
            yield Problem.of(
                "", found, f"write entries from row {FIRST_ENTRY} on", "layout", row=FIRST_ENTRY
            ).at(place(sheet, cell))
            return
