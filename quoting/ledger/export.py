"""Everything in the ledger as plain files, and back into a new ledger, without loss.

Two forms: one JSON file, or a folder of CSV tables with every kept file beside them. In CSV a text that a spreadsheet would
take for a formula gets a "'" before it, and so does one that begins with "'": reading takes it off again.
"""

from __future__ import annotations

import base64
import csv
import io
import json
from typing import TYPE_CHECKING, Any, NamedTuple

from quoting.errors import Problem, Problems
from quoting.ledger.schema import TABLES, VERSION

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator, Mapping, Sequence

JSON_FILE = "ledger.json"
FORMAT = "quoting ledger"
FILES = "files"
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
"""Beginnings of a text that a spreadsheet may run; and the sign that keeps it from that."""


def as_json(connection: sqlite3.Connection) -> bytes:
    """The whole ledger as one JSON object: tables by name, rows as lists, bytes in base64."""
    tables = {
        table: {
            "columns": (names := _columns(connection, table)),
            "rows": list(_rows(connection, table, names)),
        }
        for table in TABLES
    }
    whole = {"format": FORMAT, "version": VERSION, "tables": tables}
    return json.dumps(whole, ensure_ascii=False, indent=0, default=_in_base64).encode()


def as_csv(connection: sqlite3.Connection) -> dict[str, bytes]:
    """The whole ledger as files: a CSV for each table, and `files/<fingerprint>` for each kept file."""
    found: dict[str, bytes] = {}
    for table in TABLES:
        names = _columns(connection, table)
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        out.write(f"# {FORMAT} {VERSION}\n")
        writer.writerow(names)
        for row in _rows(connection, table, names):
            if table == "blob":
                found[f"{FILES}/{row[0]}"] = row[1]
                row = [row[0], None]
            writer.writerow([_cell(value) for value in row])
        found[f"{table}.csv"] = out.getvalue().encode()
    return found


def from_json(connection: sqlite3.Connection, data: bytes) -> None:
    """Fill an empty ledger. Raises Problems for a file that is not what `as_json` writes."""
    try:
        whole = json.loads(data)
        _check_head(str(whole["format"]), int(whole["version"]))
        for table in TABLES:
            columns, rows = whole["tables"][table]["columns"], whole["tables"][table]["rows"]
            _insert(connection, table, columns, ([_from_base64(value) for value in row] for row in rows))
    except (KeyError, TypeError, ValueError) as error:
        raise Problems([Problem("", f"is no whole export: {error}", "name one", JSON_FILE)]) from None


def from_csv(connection: sqlite3.Connection, files: Mapping[str, bytes]) -> None:
    """Fill an empty ledger. Raises Problems for files that are not what `as_csv` writes."""
    for table in TABLES:
        name = f"{table}.csv"
        try:
            head, _, rest = files[name].decode().partition("\n")
            _check_head(*_head_of(head))
            columns, *rows = csv.reader(io.StringIO(rest), strict=True)
            kinds = _kinds(connection, table)
            values = [
                [_value(cell, kinds[column]) for column, cell in zip(columns, row, strict=True)]
                for row in rows
            ]
            if table == "blob":
                values = [[row[0], files[f"{FILES}/{row[0]}"]] for row in values]
            _insert(connection, table, columns, values)
        except (KeyError, ValueError, csv.Error) as error:
            raise Problems([Problem("", f"is no whole export: {error}", "name one", name)]) from None


def _head_of(line: str) -> tuple[str, int]:
    words, _, version = line.removeprefix("# ").rpartition(" ")
    return words, int(version)


def _check_head(words: str, version: int) -> None:
    if words != FORMAT or version != VERSION:
        raise ValueError(f'"{words}" of version {version}; this one reads {FORMAT} {VERSION}')


def _columns(connection: sqlite3.Connection, table: str) -> list[str]:
    return list(_kinds(connection, table))


class Kind(NamedTuple):
    """Of a column: its type, and whether it may be NULL."""

    type: str
    nullable: bool


def _kinds(connection: sqlite3.Connection, table: str) -> dict[str, Kind]:
    rows = connection.execute(f"PRAGMA table_info ({table})")
    return {str(row[1]): Kind(str(row[2]), not row[3]) for row in rows}


def _rows(connection: sqlite3.Connection, table: str, names: Sequence[str]) -> Iterator[list[Any]]:
    for row in connection.execute(f"SELECT {', '.join(names)} FROM {table} ORDER BY {', '.join(names)}"):
        yield list(row)


def _insert(connection: sqlite3.Connection, table: str, columns: Sequence[str], rows: Any) -> None:
    known = _kinds(connection, table)
    if set(columns) != set(known):
        raise ValueError(f"columns {', '.join(columns)}")
    marks = ", ".join("?" * len(columns))
    connection.executemany(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", rows)


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(value)
    return "'" + value if isinstance(value, str) and value.startswith(RISKY) else str(value)


def _value(cell: str, kind: Kind) -> object:
    """A cell by the kind of its column: a column that may be NULL never holds an empty text."""
    if not cell and (kind.nullable or kind.type != "TEXT"):
        return None
    if kind.type in ("INTEGER", "REAL"):
        return int(cell) if kind.type == "INTEGER" else float(cell)
    return cell.removeprefix("'") if cell.startswith("'") else cell


def _in_base64(value: object) -> dict[str, str]:
    if not isinstance(value, bytes):
        raise TypeError(type(value).__name__)
    return {"base64": base64.b64encode(value).decode()}


def _from_base64(value: object) -> object:
    return base64.b64decode(value["base64"], validate=True) if isinstance(value, dict) else value
