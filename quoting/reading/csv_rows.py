"""Rows of the tables that a maker keeps as CSV: a line is a row, and a fault of one is no fault of another."""

import csv
from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from quoting.errors import Problem, Reading

T = TypeVar("T")


class Row(NamedTuple):
    """The cells of a line by column, and the number of the line."""

    cells: dict[str, str]
    line: int


def rows(text: str, columns: Sequence[str], format_asked: bool = True) -> tuple[list[Row], list[Problem]]:
    """Rows of a table that begins with its format, unless that is not asked for, and its header; and what is wrong with it
    (without file names).
    """
    lines = text.lstrip("\ufeff").splitlines()
    first = 1 if lines and lines[0].replace(" ", "").rstrip(",") == "#format=1" else 0
    if not first and (format_asked or not lines):
        return [], [Problem("format", "found no format", "write # format = 1 in the first line", line=1)]
    header = [cell.strip() for cell in (_cells(lines[first]) or [])] if len(lines) > first else []
    at = first + 1
    if header != list(columns):
        if any(";" in cell for cell in header):
            return [], [Problem("header", "found semicolons", "write commas between columns", line=at)]
        return [], [Problem("header", f"found {','.join(header)}", f"write {','.join(columns)}", line=at)]
    found: list[Row] = []
    problems: list[Problem] = []
    for line, words in enumerate(lines[at:], start=at + 1):
        if words.strip(" ,") and not words.lstrip().startswith("#"):
            row = _row(words, line, columns)
            if isinstance(row, Row):
                found.append(row)
            else:
                problems.append(row)
    return found, problems


class Cells:
    """Reads the cells of a row; `problems` grows by those that cannot be read."""

    def __init__(self, row: Row, name: str) -> None:
        self.row, self.name = row, name
        self.problems: list[Problem] = []

    def read(self, column: str, reader: Callable[[str], T]) -> T | None:
        """The cell of a column; None, and a problem noted, where it cannot be read."""
        try:
            return reader(self.row.cells[column])
        except Reading as reading:
            field = f"{self.name or 'row'}.{column}"
            self.problems.append(Problem(field, reading.found, reading.write, line=self.row.line))
            return None


def _row(words: str, line: int, columns: Sequence[str]) -> Row | Problem:
    cells = _cells(words)
    if cells is None:
        found = f"found a quote left open in {words[:40]}"
        return Problem("row", found, "write quotes in pairs, or none", line=line)
    if len(cells) > len(columns):
        wanted = f"write {len(columns)}, text with commas in quotes"
        return Problem(cells[0] or "row", f"found {len(cells)} columns", wanted, line=line)
    cells += [""] * (len(columns) - len(cells))
    return Row(dict(zip(columns, (cell.strip() for cell in cells), strict=True)), line)


def _cells(text_line: str) -> list[str] | None:
    """The cells of one line; None where a quote is left open. A row is a line: an open quote must not
    swallow the rows below it.
    """
    try:
        return next(csv.reader([text_line], strict=True))
    except csv.Error:
        return None
