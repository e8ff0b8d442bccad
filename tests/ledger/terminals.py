"""Other terminals: processes that add to a ledger, and what they said was acknowledged."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from end_to_end.command import COMMAND, ROOT, environment

from quoting.ledger.store import reading

if TYPE_CHECKING:
    from quoting.ledger.store import Connection

TESTS = Path(__file__).resolve().parents[1]
WORKER = Path(__file__).with_name("worker.py")
ENVIRONMENT = environment(PYTHONPATH=f"{ROOT}:{TESTS}")


def worker(folder: Path, name: str, count: int) -> subprocess.Popen[str]:
    """A process that adds to a ledger; it starts in a few hundredths of a second."""
    command = [sys.executable, "-S", WORKER, folder, name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, encoding="utf-8", env=ENVIRONMENT)


def command(*arguments: str | Path, **more: Any) -> subprocess.Popen[str]:
    """`quoting ARGUMENTS` in the background."""
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen(
        [*COMMAND, *map(str, arguments)], encoding="utf-8", env=environment(), **streams, **more
    )


def acknowledged(told: str) -> set[str]:
    """The whole lines that a worker wrote."""
    return {line.rstrip("\n") for line in told.splitlines(keepends=True) if line.endswith("\n")}


def added(book: Connection) -> list[str]:
    """What is in the ledger, in the words of a worker."""
    notes = book.execute("SELECT 'entry ' || id || ' ' || words FROM entry WHERE kind = 'note'")
    quotes = book.execute(
        "SELECT printf('quote %d-%03d %s', year, serial, title) FROM quote JOIN piece ON piece.id = piece"
    )
    return [row[0] for row in (*notes, *quotes)]


def all_added(folder: Path) -> list[str]:
    """What is in the ledger of a folder."""
    with reading(folder) as book:
        return added(book)
