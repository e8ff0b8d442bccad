"""Files as they were when a quote was issued: kept once by the fingerprint of their content."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable


class Kept(NamedTuple):
    """A file: what it is for, its name, its bytes."""

    role: str
    name: str
    data: bytes


_KEYS = {"quote_file": "quote", "change_file": "entry"}
"""The tables of files, and the column that says whose they are."""

SOURCE, DOCUMENT, RESULT = "source", "document", "result"
"""Roles: what was read, what was written for people, what was reckoned."""


def keep(connection: sqlite3.Connection, table: str, owner: int, files: Iterable[Kept]) -> None:
    """Add the files of an issued quote (`quote_file`) or of a change (`change_file`)."""
    for file in files:
        sha256 = hashlib.sha256(file.data).hexdigest()
        connection.execute("INSERT INTO blob VALUES (?, ?) ON CONFLICT DO NOTHING", (sha256, file.data))
        connection.execute(f"INSERT INTO {table} VALUES (?, ?, ?, ?)", (owner, file.role, file.name, sha256))


def kept(connection: sqlite3.Connection, table: str, owner: int, role: str) -> dict[str, bytes]:
    """The files of one role, by name."""
    rows = connection.execute(
        f"SELECT name, bytes FROM {table} JOIN blob USING (sha256) WHERE {_KEYS[table]} = ? AND role = ? ORDER BY name",
        (owner, role),
    )
    return {str(name): bytes(data) for name, data in rows}


def owners(connection: sqlite3.Connection, table: str, role: str, data: bytes) -> set[int]:
    """The quotes or changes that keep a file of exactly this content."""
    sha256 = hashlib.sha256(data).hexdigest()
    rows = connection.execute(
        f"SELECT {_KEYS[table]} FROM {table} WHERE role = ? AND sha256 = ?", (role, sha256)
    )
    return {int(row[0]) for row in rows}
