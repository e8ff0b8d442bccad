"""Everything in the ledger as plain files, and back into a new ledger, without loss."""

import base64
import csv
import io
import json
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from quoting.errors import refused
from quoting.ledger.schema import TABLES, VERSION, tables_of
from quoting.ledger.words import as_told, to_store

RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
"""Beginnings of a text that a spreadsheet may run; and the sign that keeps it from that."""

JSON_FILE = "ledger.json"
FORMAT = "quoting ledger"
FILES = "files"
LINE_END = "\r\n"
NOT_WHOLE = (
    KeyError, TypeError, ValueError, OverflowError, RecursionError, csv.Error, sqlite3.IntegrityError,
    sqlite3.ProgrammingError, sqlite3.DataError,
)  # fmt: skip
"""What reading a damaged export ends in: no such thing in it, or nothing that the tables take."""


class Kind(NamedTuple):
    """Of a column: its type, and whether it may be NULL."""

    type: str
    nullable: bool


def cell(value: object, kind: Kind) -> str:
    """A value as the text of a cell."""
    if value is None:
        return ""
    if value == "" and kind.nullable:
        return "'"
    if isinstance(value, float):
        return repr(value)
    return "'" + value if isinstance(value, str) and value.startswith(RISKY) else str(value)


def value_of(text: str, kind: Kind) -> object:
    """A cell by the kind of its column."""
    if not text and (kind.nullable or kind.type != "TEXT"):
        return None
    if kind.type in ("INTEGER", "REAL"):
        return int(text) if kind.type == "INTEGER" else float(text)
    return text.removeprefix("'")


def in_base64(value: object) -> dict[str, str]:
    """Bytes as JSON has them. Raises TypeError for anything else."""
    if not isinstance(value, bytes):
        raise TypeError(type(value).__name__)
    return {"base64": base64.b64encode(value).decode()}


def from_base64(value: object) -> object:
    """A value of JSON, bytes where it holds them."""
    return base64.b64decode(value["base64"], validate=True) if isinstance(value, dict) else value


def as_json(connection: sqlite3.Connection) -> bytes:
    """The whole ledger as one JSON object: tables by name, rows as lists, bytes in base64."""
    tables = {
        table: {
            "columns": (names := list(_kinds(connection, table))),
            "rows": list(_rows(connection, table, names)),
        }
        for table in TABLES
    }
    whole = {"format": FORMAT, "version": VERSION, "tables": tables}
    return json.dumps(whole, ensure_ascii=False, indent=0, default=in_base64).encode()


def as_csv(connection: sqlite3.Connection) -> dict[str, bytes]:
    """The whole ledger as files: a CSV for each table, and `files/<fingerprint>` for each kept file."""
    found: dict[str, bytes] = {}
    for table in TABLES:
        kinds = _kinds(connection, table)
        out = io.StringIO()
        writer = csv.writer(out, lineterminator=LINE_END)
        writer.writerow(kinds)
        rows = list(_rows(connection, table, list(kinds)))
        for row in rows:
            if table == "blob":
                found[f"{FILES}/{row[0]}"] = row[1]
                row[1] = None
            writer.writerow([cell(value, kind) for value, kind in zip(row, kinds.values(), strict=True)])
        head = f"# {FORMAT} {VERSION}: {len(rows)} rows{LINE_END}"
        found[f"{table}.csv"] = (head + out.getvalue()).encode()
    return found


def from_json(connection: sqlite3.Connection, data: bytes) -> None:
    """Fill an empty ledger. Raises Problems for a file that is not what `as_json` writes."""
    try:
        whole = json.loads(data)
        version = int(whole["version"])
        _check_head(str(whole["format"]), version)
        for table in tables_of(version):
            columns, rows = whole["tables"][table]["columns"], whole["tables"][table]["rows"]
            _insert(connection, table, columns, ([from_base64(value) for value in row] for row in rows))
    except NOT_WHOLE as error:
        raise refused(
            "", f"is no whole export: {error}", "name one", JSON_FILE, code="file_damaged", reason=error
        ) from None


def from_csv(connection: sqlite3.Connection, files: Mapping[str, bytes]) -> None:
    """Fill an empty ledger. Raises Problems for files that are not what `as_csv` writes."""
    there = VERSION
    for table in TABLES:
        if table not in tables_of(there):
            continue
        name = f"{table}.csv"
        if name not in files:
            raise refused(
                "",
                f"found no {name}",
                "name the folder or the JSON file of a whole export",
                code="file_missing",
                name=name,
            )
        try:
            head, _, rest = files[name].decode().partition("\n")
            words, version, count = _head_of(head)
            _check_head(words, version)
            if table != TABLES[0] and version != there:
                raise ValueError(f"version {version} beside {there}")
            there = version
            columns, *rows = csv.reader(io.StringIO(rest), strict=True)
            if len(rows) != count:
                raise ValueError(f"{len(rows)} rows of {count}")
            kinds = _kinds(connection, table)
            values = [
                [value_of(text, kinds[column]) for column, text in zip(columns, row, strict=True)]
                for row in rows
            ]
            if table == "blob":
                values = [[row[0], files[f"{FILES}/{row[0]}"]] for row in values]
            _insert(connection, table, columns, values)
        except NOT_WHOLE as error:
            raise refused(
                "", f"is no whole export: {error}", "name one", name, code="file_damaged", reason=error
            ) from None


def _head_of(line: str) -> tuple[str, int, int]:
    """Format, version and number of rows, as the first line of a table says them."""
    what, _, rows = line.strip().removeprefix("# ").rpartition(": ")
    words, _, version = what.rpartition(" ")
    return words, int(version), int(rows.removesuffix(" rows"))


def _check_head(words: str, version: int) -> None:
    if words != FORMAT or not 1 <= version <= VERSION:
        raise ValueError(f'"{words}" of version {version}; this one reads {FORMAT} 1 to {VERSION}')


def _kinds(connection: sqlite3.Connection, table: str) -> dict[str, Kind]:
    rows = connection.execute(f"PRAGMA table_info ({table})")
    return {str(row[1]): Kind(str(row[2]), not row[3]) for row in rows}


def _rows(connection: sqlite3.Connection, table: str, names: Sequence[str]) -> Iterator[list[Any]]:
    for row in connection.execute(f"SELECT {', '.join(names)} FROM {table} ORDER BY rowid"):
        yield _worded(table, names, row, as_told)


def _insert(connection: sqlite3.Connection, table: str, columns: Sequence[str], rows: Any) -> None:
    if set(columns) != set(_kinds(connection, table)):
        raise ValueError(f"columns {', '.join(columns)}")
    marks = ", ".join("?" * len(columns))
    stored = (_worded(table, columns, row, to_store) for row in rows)
    connection.executemany(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", stored)


def _worded(
    table: str, names: Sequence[str], row: Sequence[Any], words: Callable[[str, str], tuple[str, str]]
) -> list[Any]:
    """A row with the words of an entry as they are told, or stored."""
    if table != "entry":
        return list(row)
    found = dict(zip(names, row, strict=True))
    found["kind"], found["said"] = words(found["kind"], found["said"])
    return list(found.values())
