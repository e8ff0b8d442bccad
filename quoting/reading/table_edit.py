"""Rows of a table in CSV changed or added, with every other sign alike; reading it again proves each edit."""

import re
from collections.abc import Mapping, Sequence

from quoting.errors import Reading
from quoting.reading.splice import BY_HAND, NOT_ALONE
from quoting.reading.tables import Row, rows

_CELL = re.compile(r'"(?:[^"]|"")*"|[^,\r\n]*')


def with_cells(text: str, columns: Sequence[str], line: int, cells: Mapping[str, str]) -> str:
    """A table with some cells of the row on a line changed. Raises Reading where that cannot be proven, or where a cell has lines."""
    lines = text.splitlines(keepends=True)
    row = lines[line - 1]
    bare = row.rstrip("\r\n")
    spans = _spans(bare)
    for column in reversed(columns):
        if column not in cells:
            continue
        at, written = columns.index(column), _written(cells[column])
        if at < len(spans):
            start, end = spans[at]
            bare = bare[:start] + written + bare[end:]
        elif written:
            bare += "," * (at - len(spans) + 1) + written
            spans = _spans(bare)
    lines[line - 1] = bare + row[len(row.rstrip("\r\n")) :]
    wanted = [
        one._replace(cells={**one.cells, **_stripped(cells)}) if one.line == line else one
        for one in rows(text, columns)[0]
    ]
    return _proven("".join(lines), columns, wanted)


def with_row(text: str, columns: Sequence[str], cells: Mapping[str, str]) -> str:
    """A table with one more row, below the last one. Raises Reading where that cannot be proven, or where a cell has lines."""
    lines = text.splitlines(keepends=True)
    at = next((i for i in range(len(lines), 0, -1) if lines[i - 1].strip()), 0)
    end = "\r\n" if at and lines[at - 1].endswith("\r\n") else "\n"
    row = ",".join(_written(cells.get(column, "")) for column in columns)
    if at and not lines[at - 1].endswith(("\n", "\r")):
        end = "\r\n" if "\r\n" in text else "\n"
        lines[at - 1] += end + row
    else:
        lines.insert(at, row + end)
    there, _ = rows(text, columns)
    new = Row(dict.fromkeys(columns, "") | _stripped(cells), at + 1, len(there))
    return _proven("".join(lines), columns, [*there, new])


def _spans(row: str) -> list[tuple[int, int]]:
    """Where the cells of a row begin and end."""
    found, at = [], 0
    while True:
        cell = _CELL.match(row, at)
        assert cell is not None  # it matches nothing at all, too
        found.append(cell.span())
        at = row.find(",", cell.end()) + 1
        if not at:
            return found


def _written(cell: str) -> str:
    """A cell as CSV writes it."""
    if len((cell + ".").splitlines()) > 1:
        raise Reading("found several lines", "write it on one line", "cannot_hold")
    plain = cell.strip()
    return f'"{plain.replace(chr(34), chr(34) * 2)}"' if re.search(r'[,"#]', plain) else plain


def _stripped(cells: Mapping[str, str]) -> dict[str, str]:
    return {column: cell.strip() for column, cell in cells.items()}


def _proven(text: str, columns: Sequence[str], wanted: Sequence[Row]) -> str:
    """The text, where it says what is wanted and nothing else."""
    if rows(text, columns)[0] != wanted:
        raise Reading(NOT_ALONE, BY_HAND, "cannot_change")
    return text
