"""Is the ledger whole: what SQLite says of its pages, and what the tool knows of its rows."""

import hashlib
import json
import sqlite3
from collections.abc import Iterator

from quoting.ledger.schema import TABLES, as_made


def faults(connection: sqlite3.Connection) -> list[str]:
    """Everything that is wrong with a ledger, in words; empty where it is sound."""
    found = [f"pages: {row[0]}" for row in connection.execute("PRAGMA integrity_check") if row[0] != "ok"]
    if found:  # rows of spoilt pages hold anything
        return found
    found += [
        f"table {table}, row {row}: refers to nothing in {parent}"
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
    ]
    if not as_made(connection):
        found.append("tables: not what this version of the ledger makes")
    looks = (_gaps, _days, _files, _records, _guards)
    return [*found, *(fault for look in looks for fault in look(connection))]


def counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Rows by table."""
    return {name: int(connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]) for name in TABLES}


def _gaps(connection: sqlite3.Connection) -> Iterator[str]:
    """Numbers must run from one without a gap: pieces in their year, revisions and changes in their piece."""
    years = "SELECT year, count(*), max(serial) FROM piece GROUP BY year"
    for year, count, last in connection.execute(years):
        if count != last:
            yield f"year {year}: {count} pieces, but the last is {last}"
    revisions = (
        "SELECT year, serial, count(quote.id), max(revision) FROM piece LEFT JOIN quote ON quote.piece = piece.id"
        " GROUP BY piece.id"
    )
    for year, serial, count, last in connection.execute(revisions):
        if count != (last or 0) + 1:
            yield f"piece {year}-{serial:03}: {count} quotes, but the last revision is {last}"
    entries = connection.execute("SELECT count(*), coalesce(max(id), 0) FROM entry").fetchone()
    if entries[0] != entries[1]:
        yield f"{entries[0]} entries, but the last is {entries[1]}"
    states = "SELECT quote.id FROM quote WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.quote = quote.id AND kind = 'state')"
    for (quote,) in connection.execute(states):
        yield f"quote {quote} has no state"


def _days(connection: sqlite3.Connection) -> Iterator[str]:
    """Days must be in the calendar: SQLite moves one that is not."""
    for table, column in (("quote", "day"), ("quote", "valid_until"), ("entry", "day")):
        rows = f"SELECT id, {column} FROM {table} WHERE date({column}) IS NOT {column}"
        for id, day in connection.execute(rows):
            yield f'table {table}, row {id}: found the {column} "{day}"'


def _files(connection: sqlite3.Connection) -> Iterator[str]:
    for sha256, data in connection.execute("SELECT sha256, bytes FROM blob"):
        if hashlib.sha256(data).hexdigest() != sha256:
            yield f"file {sha256[:12]}: its content does not fit its fingerprint"
    for (quote,) in connection.execute(
        "SELECT id FROM quote WHERE NOT EXISTS (SELECT 1 FROM quote_file WHERE quote = quote.id AND role = 'document')"
    ):
        yield f"quote {quote} has no documents"


def _records(connection: sqlite3.Connection) -> Iterator[str]:
    for table in ("quote_file", "change_file"):
        rows = f"SELECT DISTINCT sha256, bytes FROM {table} JOIN blob USING (sha256) WHERE role = 'result'"
        for sha256, data in connection.execute(rows):
            try:
                json.loads(data)
            except ValueError:
                yield f"file {sha256[:12]}: no frozen results"


def _guards(connection: sqlite3.Connection) -> Iterator[str]:
    names = {row[0] for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'")}
    for table in TABLES:
        for article, verb in (("an", "update"), ("a", "delete")):
            if f"{table}_no_{verb}" not in names:
                yield f"table {table}: nothing refuses {article} {verb}"
