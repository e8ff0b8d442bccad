"""The tables of the ledger, version by version, and how an older one is brought up to date, whole or not at all."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing

from quoting.errors import refused

KINDS = (
    "state", "change", "hours", "machine", "used", "wasted", "paid", "credited", "measured", "vacuum", "temperature",
    "setback", "trip", "received", "refunded", "done", "note", "void",
)  # fmt: skip
"""What an entry can be, as rows call it (`words` tells them)."""

APPLICATION_ID = 0x71756F74  # "quot": tells this file from any other database

_TABLES = f"""
CREATE TABLE piece (
  id INTEGER PRIMARY KEY,
  year INTEGER NOT NULL,
  serial INTEGER NOT NULL CHECK (serial > 0),
  UNIQUE (year, serial)
) STRICT;

CREATE TABLE blob (
  sha256 TEXT PRIMARY KEY CHECK (length(sha256) = 64),
  bytes BLOB NOT NULL
) STRICT;

CREATE TABLE quote (
  id INTEGER PRIMARY KEY,
  piece INTEGER NOT NULL REFERENCES piece (id),
  revision INTEGER NOT NULL CHECK (revision >= 0),
  day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  valid_until TEXT NOT NULL,
  title TEXT NOT NULL,
  client TEXT NOT NULL,
  basis TEXT NOT NULL CHECK (basis IN ('commission', 'for sale')),
  currency TEXT NOT NULL,
  digits INTEGER NOT NULL CHECK (digits BETWEEN 0 AND 4),
  total INTEGER NOT NULL,
  made_with TEXT NOT NULL,
  at TEXT NOT NULL,
  UNIQUE (piece, revision)
) STRICT;

CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
  piece INTEGER REFERENCES piece (id),
  quote INTEGER REFERENCES quote (id),
  kind TEXT NOT NULL CHECK (kind IN ({", ".join(f"'{kind}'" for kind in KINDS)})),
  day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  line TEXT NOT NULL,
  task TEXT NOT NULL,
  part TEXT NOT NULL,
  stage TEXT NOT NULL,
  item TEXT NOT NULL,
  who TEXT NOT NULL,
  round INTEGER CHECK (round > 0),
  plies INTEGER CHECK (plies >= 0),
  amount REAL,
  unit TEXT NOT NULL,
  hours REAL CHECK (hours >= 0),
  money INTEGER,
  digits INTEGER NOT NULL CHECK (digits BETWEEN 0 AND 4),
  receipt TEXT NOT NULL,
  said TEXT NOT NULL,
  words TEXT NOT NULL,
  about INTEGER NOT NULL CHECK (about IN (0, 1)),
  counters INTEGER UNIQUE REFERENCES entry (id) CHECK (counters < id),
  source TEXT NOT NULL,
  row_key TEXT UNIQUE,
  at TEXT NOT NULL,
  CHECK ((kind = 'void') = (counters IS NOT NULL))
) STRICT;
CREATE INDEX entry_of_piece ON entry (piece, day);

CREATE TABLE change_order (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  position INTEGER NOT NULL CHECK (position > 0),
  ruled TEXT NOT NULL CHECK (ruled IN ('agreed', 'mine')),
  net INTEGER NOT NULL,
  tax INTEGER NOT NULL,
  fees INTEGER NOT NULL,
  asked INTEGER NOT NULL
) STRICT;

CREATE TABLE quote_file (
  quote INTEGER NOT NULL REFERENCES quote (id),
  role TEXT NOT NULL,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL REFERENCES blob (sha256),
  PRIMARY KEY (quote, role, name)
) STRICT;

CREATE TABLE change_file (
  entry INTEGER NOT NULL REFERENCES change_order (entry),
  role TEXT NOT NULL,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL REFERENCES blob (sha256),
  PRIMARY KEY (entry, role, name)
) STRICT;
"""

_REQUESTS = """
CREATE TABLE request (
  key TEXT PRIMARY KEY CHECK (length(key) > 0),
  contents TEXT NOT NULL CHECK (length(contents) = 64),
  entry INTEGER UNIQUE REFERENCES entry (id),
  quote INTEGER UNIQUE REFERENCES quote (id),
  CHECK ((entry IS NULL) <> (quote IS NULL))
) STRICT;
"""

FIRST_TABLES = ("piece", "blob", "quote", "entry", "change_order", "quote_file", "change_file")
TABLES = (*FIRST_TABLES, "request")
"""Every table, those that others refer to first."""


def tables_of(version: int) -> tuple[str, ...]:
    """The tables that a ledger of a version has."""
    return FIRST_TABLES if version < 2 else TABLES


def _guards(tables: Sequence[str]) -> str:
    """Triggers that refuse to change or delete a row."""
    return "\n".join(
        f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table}"
        f" BEGIN SELECT RAISE (ABORT, 'rows of the ledger are never changed'); END;"
        for table in tables
        for verb in ("UPDATE", "DELETE")
    )


MIGRATIONS = (_TABLES + _guards(FIRST_TABLES), _REQUESTS + _guards(("request",)))
"""What brings a ledger of version i to version i + 1; a new file starts at version 0."""

VERSION = len(MIGRATIONS)


def version_of(connection: sqlite3.Connection) -> int:
    """The version a file was last brought to; 0 for a new one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def refuse_strangers(connection: sqlite3.Connection, name: str, versions: int = len(MIGRATIONS)) -> None:
    """Raise Problems for a database that is not a ledger, or that a newer version of the tool wrote."""
    connection.execute("BEGIN")  # one view: another program may be making the ledger
    try:
        mark = connection.execute("PRAGMA application_id").fetchone()[0]
        version = version_of(connection)
        filled = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    finally:
        if connection.in_transaction:  # a file that cannot be read may have ended it
            connection.execute("ROLLBACK")
    if (mark != APPLICATION_ID and version) or (filled and not version):
        raise refused(
            "", "is a database of another kind", "move it out of the shop folder", name, code="file_kind"
        )
    if version > versions:
        found = f"was written by a newer version of quoting (ledger {version}, this one reads {versions})"
        raise refused(
            "",
            found,
            "install the newer version here too",
            name,
            code="format",
            found=version,
            known=versions,
        )


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
    sql = "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name"
    return connection.execute(sql).fetchall()


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
