"""Bringing an older ledger up to date: one version at a time, each whole or not at all."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from quoting.errors import Problem, Problems
from quoting.ledger.schema import APPLICATION_ID, MIGRATIONS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


def version_of(connection: sqlite3.Connection) -> int:
    """The version a file was last brought to; 0 for a new one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def refuse_strangers(connection: sqlite3.Connection, name: str, versions: int = len(MIGRATIONS)) -> None:
    """Raise Problems for a database that is not a ledger, or that a newer version of the tool wrote."""
    connection.execute("BEGIN")  # one view: another terminal may be making the ledger
    try:
        mark = connection.execute("PRAGMA application_id").fetchone()[0]
        version = version_of(connection)
        filled = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    finally:
        if connection.in_transaction:  # a file that cannot be read may have ended it
            connection.execute("ROLLBACK")
    if (mark != APPLICATION_ID and version) or (filled and not version):
        raise Problems([Problem("", "is a database of another kind", "move it out of the shop folder", name)])
    if version > versions:
        found = f"was written by a newer version of quoting (ledger {version}, this one reads {versions})"
        raise Problems([Problem("", found, "install the newer version here too", name)])


def migrate(connection: sqlite3.Connection, migrations: Sequence[str] = MIGRATIONS) -> None:
    """Carry out what is missing, inside the transaction that the caller holds."""
    for version in range(version_of(connection), len(migrations)):
        for statement in statements(migrations[version]):
            connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {version + 1}")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def as_made(connection: sqlite3.Connection, migrations: Sequence[str] = MIGRATIONS) -> bool:
    """True where tables, indexes and triggers are, word for word, what the migrations up to the file's version make."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        migrate(made, migrations[: version_of(connection)])
        return _objects(made) == _objects(connection)


def _objects(connection: sqlite3.Connection) -> list[tuple[str, ...]]:
    return connection.execute(
        "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name"
    ).fetchall()


def statements(script: str) -> Iterator[str]:
    """The statements of a script, one by one: `executescript` would commit the open transaction."""
    pending = ""
    for line in script.splitlines():
        pending += line + "\n"
        if sqlite3.complete_statement(pending):
            yield pending
            pending = ""
    if pending.strip():
        raise ValueError(f"no whole statement: {pending}")
