"""Opening the ledger: read, or write in one transaction that is on disk when it ends; whole copies of it."""

import os
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from itertools import chain, count
from pathlib import Path
from typing import Any, TypeVar

from quoting.advice import Advice
from quoting.errors import Problems, refused
from quoting.ledger.schema import VERSION, as_made, migrate, refuse_strangers, version_of
from quoting.ledger.sound import refuse_network

T = TypeVar("T")

PATIENCE_S = 60.0  # for another program
GLANCE_S = 0.25  # between looks at whether it is done

Connection = sqlite3.Connection
"""An open ledger: what its functions are given; nobody else speaks to the database."""

LEDGER_FILE = "ledger.sqlite"
FULL = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN)
HEADER_BYTES = 100  # SQLite, Database File Format: 1.3 The Database Header
DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
PRAGMAS = """
PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; PRAGMA synchronous = EXTRA;
PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON;
"""


def copied(connection: sqlite3.Connection, target: Path) -> None:
    """Write a whole copy of a ledger, by SQLite's own means: right even while others write. Nothing is overwritten."""
    if target.exists():
        raise refused("", "is there already", "name another file", str(target), code="file_exists")
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".quoting-") as made:
        temporary = Path(made, target.name)
        with closing(sqlite3.connect(temporary, isolation_level=None)) as copy:
            copy.execute("PRAGMA synchronous = EXTRA")
            connection.backup(copy)
        with temporary.open("rb") as file:
            os.fsync(file.fileno())
        put_in_place(temporary, target)


def put_in_place(made: Path, target: Path) -> None:
    """Give a finished file its name. Raises Problems where another has it by now."""
    try:
        os.link(made, target)
    except FileExistsError:
        raise refused("", "is there already", "name another file", str(target), code="file_exists") from None
    except OSError:  # a disk without links
        made.rename(target)
    if os.name == "posix":  # the name is on disk once its folder is
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def patiently(act: Callable[[], object], waiting: Callable[[], None]) -> None:
    """Do something once no other program is in the way."""
    until, announced = time.monotonic() + PATIENCE_S, False
    while True:
        try:
            act()
            return
        except sqlite3.OperationalError as error:
            busy = getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY
            if not busy or time.monotonic() > until:
                raise
        if not announced:
            waiting()
            announced = True


def _connected(path: Path, may_write: bool, waiting: Callable[[], None]) -> sqlite3.Connection:
    """A connection on which every transaction is begun by hand and is on disk once it is committed.

    Rollback journal, not a write-ahead log: shop folders are copied and synced, and one file is all there is. EXTRA
    syncs the folder too once the journal is gone (SQLite, PRAGMA synchronous), so that an acknowledged entry
    survives a loss of power. With recursive triggers the guards hold against INSERT OR REPLACE too (SQLite, ON CONFLICT).
    """
    if path.is_file() and 0 < path.stat().st_size < HEADER_BYTES:  # SQLite would begin it anew
        raise damaged("it was cut off", path.name)
    mode = "rwc" if may_write else "rw"
    uri = f"{path.resolve().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, isolation_level=None, timeout=GLANCE_S)
    try:  # the first look at the file: another program may be in the way already
        patiently(lambda: connection.executescript(PRAGMAS), waiting)
        patiently(lambda: refuse_strangers(connection, path.name), waiting)
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def _opened(path: Path, may_write: bool, waiting: Callable[[], None]) -> Iterator[sqlite3.Connection]:
    """A connection whose faults are put into words."""
    try:
        with closing(_connected(path, may_write, waiting)) as connection:
            try:
                yield connection
            except sqlite3.OperationalError as error:  # a name in the tables that is no longer what it was
                if getattr(error, "sqlite_errorcode", 0) == sqlite3.SQLITE_ERROR and not as_made(connection):
                    raise damaged(str(error), path.name) from None
                raise
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if code in DAMAGED or (code == 0 and isinstance(error, sqlite3.OperationalError)):  # 0: no UTF-8
            raise damaged(str(error), path.name) from None
        if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            found = Advice("ledger_busy", seconds=f"{PATIENCE_S:.0f}")
            raise refused(
                "", found, "end that one, then try again", path.name, code="busy", seconds=PATIENCE_S
            ) from None
        if code in FULL:
            wanted = "see that the disk has room and the folder may be written"
            raise refused(
                "", f"cannot be written ({error})", wanted, path.name, code="cannot_write", reason=error
            ) from None
        raise
    except UnicodeDecodeError as error:  # in a name that SQLite quotes
        raise damaged(str(error), path.name) from None


def damaged(found: str, name: str = LEDGER_FILE) -> Problems:
    """What to say of a ledger in which something was found that it never wrote."""
    wanted = Advice("put_copy_in_place")
    return refused("", f"is damaged ({found})", wanted, name, code="file_damaged")


def records(
    connection: sqlite3.Connection, sql: str, values: Sequence[object], made: Callable[[tuple[Any, ...]], T]
) -> list[T]:
    """Rows as records. Raises Problems where one holds what the ledger never wrote."""
    rows = connection.execute(sql, values).fetchall()
    try:
        return [made(row) for row in rows]
    except ValueError as error:
        raise damaged(str(error)) from None


@contextmanager
def reading(folder: Path) -> Iterator[sqlite3.Connection]:
    """The ledger of a shop folder as it stands, in one view of it. Raises Problems where there is none."""
    path = folder / LEDGER_FILE
    _refuse_none(folder)
    refuse_network(folder.resolve())
    with _opened(path, may_write=False, waiting=lambda: None) as connection:
        outdated = version_of(connection) < VERSION
    if outdated:
        with writing(folder, lambda: None):
            pass
    with _opened(path, may_write=False, waiting=lambda: None) as connection:
        patiently(lambda: connection.execute("BEGIN"), lambda: None)
        patiently(lambda: connection.execute("SELECT count(*) FROM piece").fetchone(), lambda: None)
        yield connection
        connection.execute("COMMIT")


def is_there(folder: Path) -> bool:
    """True where a shop folder has a ledger: an empty file is of a first issue that was never finished."""
    path = folder / LEDGER_FILE
    return path.is_file() and path.stat().st_size > 0


def _refuse_none(folder: Path) -> None:
    if not is_there(folder):
        wanted = Advice("issue_first_or_name_shop")
        raise refused("", "found no ledger", wanted, str(folder), code="no_ledger")


@contextmanager
def copy_of(path: Path) -> Iterator[sqlite3.Connection]:
    """A copy of a ledger that nobody else reads or writes, wherever it lies."""
    with _opened(path, may_write=False, waiting=lambda: None) as connection:
        yield connection


@contextmanager
def writing(
    folder: Path, waiting: Callable[[], None], existing: bool = False
) -> Iterator[sqlite3.Connection]:
    """One transaction on the ledger of a shop folder: all of it is on disk when the block ends, or none of it.

    Another program that writes is waited for; `waiting` is called once where that takes a moment. An older ledger
    is brought up to date. Where there is none one is made; with `existing` that raises Problems.
    """
    refuse_network(folder.resolve())
    path = folder / LEDGER_FILE
    if path.is_symlink():
        raise refused(
            "", "is a link", "put the ledger itself into the shop folder", path.name, code="file_kind"
        )
    if existing:
        _refuse_none(folder)
    with _opened(path, may_write=True, waiting=waiting) as connection:
        patiently(lambda: connection.execute("BEGIN IMMEDIATE"), waiting)
        try:
            _keep_older(version_of(connection), path)
            migrate(connection)
            yield connection
        except BaseException:
            if connection.in_transaction:  # a full disk has ended it already
                connection.execute("ROLLBACK")
            raise
        patiently(lambda: connection.execute("COMMIT"), waiting)


def _keep_older(version: int, path: Path) -> None:
    """Keep a copy of a ledger that is about to be brought up to date, beside those of earlier attempts.

    By a connection of its own: SQLite copies nothing through one that writes.
    """
    if not 0 < version < VERSION:
        return
    target = unused(path.with_name(f"{path.stem} of version {version}{path.suffix}"))
    with closing(_connected(path, may_write=False, waiting=lambda: None)) as connection:
        copied(connection, target)


def unused(path: Path) -> Path:
    """A path that nothing has yet: this one, or one with a number behind its name."""
    others = (path.with_name(f"{path.stem} ({number}){path.suffix}") for number in count(2))
    return next(one for one in chain((path,), others) if not one.exists())


def moment() -> str:
    """Now, in UTC, to the second."""
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
