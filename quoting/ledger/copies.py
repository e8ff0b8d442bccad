"""Whole copies of a ledger, and giving a finished file its name."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from pathlib import Path

from quoting.errors import Problem, Problems


def copied(connection: sqlite3.Connection, target: Path) -> None:
    """Write a whole copy of a ledger, by SQLite's own means: right even while others write. Nothing is overwritten."""
    if target.exists():
        raise Problems([Problem("", "is there already", "name another file", str(target))])
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".quoting-") as made:
        temporary = Path(made, target.name)
        copy = sqlite3.connect(temporary, isolation_level=None)
        try:
            copy.execute("PRAGMA synchronous = EXTRA")
            connection.backup(copy)
        finally:
            copy.close()
        with temporary.open("rb") as file:
            os.fsync(file.fileno())
        put_in_place(temporary, target)


def put_in_place(made: Path, target: Path) -> None:
    """Give a finished file its name. Raises Problems where another has it by now."""
    try:
        os.link(made, target)
    except FileExistsError:
        raise Problems([Problem("", "is there already", "name another file", str(target))]) from None
    except OSError:  # a disk without links
        made.rename(target)
    if os.name == "posix":  # the name is on disk once its folder is
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
