"""Opening a job that is filled in as a spreadsheet: its sheets with their values, or what is wrong with the file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile

from quoting.errors import Problem, Problems
from quoting.inputs.also_called import JOB, nearest_key
from quoting.inputs.job_cells import place
from quoting.inputs.job_form import CAUSE, LISTS, SINGLE
from quoting.inputs.sources import LARGEST_FILE
from quoting.inputs.template import sections

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from openpyxl.worksheet.worksheet import Worksheet

UNREADABLE = (BadZipFile, KeyError, ValueError, SyntaxError, TypeError, AttributeError, IndexError, EOFError)
"""What opening a file may end in that is no spreadsheet, or a damaged one."""

MOST_ROWS, MOST_COLUMNS = 5_000, 200


def sheets_of(path: Path, problems: list[Problem]) -> Sequence[Any]:
    """The sheets that hold something, with formulas replaced by their values."""
    from openpyxl import load_workbook

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
    except UNREADABLE:
        raise Problems([Problem("", "found no spreadsheet", "save it as .xlsx", path.name)]) from None
    known = (SINGLE, LISTS, CAUSE, *(one.name for one in sections("job.toml").values() if one.many))
    found = []
    for sheet in valued.worksheets:
        if sheet.title == LISTS:  # ours: as long as the price book
            continue
        if sheet.title not in known:
            problems.append(
                Problem(
                    "",
                    "found a sheet that is no section of a job",
                    nearest_key(JOB, sheet.title, known),
                    f"sheet {sheet.title}",
                )
            )
        elif sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
            problems.append(
                Problem(
                    "",
                    f"found more than {MOST_ROWS} rows or {MOST_COLUMNS} columns",
                    "delete the empty ones below and beside your entries",
                    f"sheet {sheet.title}",
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
                    "", "found a formula without a value", "write the value itself", place(valued, cell)
                )
