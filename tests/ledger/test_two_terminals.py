"""Several terminals at once: each waits for the others, and nothing of any of them is lost."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

import pytest
from ledger.books import filled, note, quiet
from ledger.terminals import acknowledged, all_added, command, worker

from quoting.__main__ import run
from quoting.advice import worded
from quoting.errors import Problems
from quoting.ledger import entries, sound, store
from quoting.ledger.store import LEDGER_FILE, reading, writing
from quoting.runs.shops import WAITING

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Callable, Iterator
    from pathlib import Path

LONGER_THAN_A_GLANCE_S = 4 * store.GLANCE_S
START_S = 1.0  # until a command has come to the ledger


def ended(process: subprocess.Popen[str]) -> tuple[str, str]:
    """Output and messages of a command that must have gone well."""
    with process:
        out, told = process.communicate(timeout=60)
    assert process.returncode == 0, told
    return out, told


@contextmanager
def locked(folder: Path) -> Iterator[Callable[[], object]]:
    """The ledger while another terminal puts its pages on disk: nobody may even read, until the function is called."""
    with closing(sqlite3.connect(folder / LEDGER_FILE, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield lambda: other.execute("ROLLBACK")


def test_workers_at_once_lose_nothing_and_share_no_number(tmp_path: Path) -> None:
    workers = [worker(tmp_path, name, 21) for name in "abcd"]
    told = [acknowledged(ended(one)[0]) for one in workers]
    assert [len(one) for one in told] == [21] * 4
    there = all_added(tmp_path)
    assert sorted(there) == sorted(line for one in told for line in one)
    numbers = sorted(line.split()[1] for line in there if line.startswith("quote"))
    assert numbers == [f"2027-{serial:03}" for serial in range(1, 29)]
    with reading(tmp_path) as book:
        assert sound.faults(book) == []


def test_commands_that_issue_and_log_at_once_all_succeed(issued: Path) -> None:
    issuing = [command("issue", issued / "jobs" / "flax_screen.toml", "--again") for _ in range(3)]
    logging = [command("log", "2027-001", "note", f"note {n}", "--shop", issued) for n in range(3)]
    numbers = [ended(one)[0].split()[1].rstrip(",") for one in issuing]
    assert sorted(numbers) == ["2027-002", "2027-003", "2027-004"]
    for one in logging:
        ended(one)
    with reading(issued) as book:
        words = [one.words for one in entries.of_piece(book, 1) if one.kind == "note"]
        assert sorted(words) == ["note 0", "note 1", "note 2"]
        assert sound.faults(book) == []


def test_a_command_says_that_it_waits_for_another_terminal_and_then_succeeds(issued: Path) -> None:
    with writing(issued, quiet) as book:
        entries.add(book, note("first"))
        other = command("log", "2027-001", "note", "second", "--shop", issued)
        assert other.stderr is not None
        assert other.stderr.readline() == f"note: {worded(WAITING, 'terminal')}\n"
        assert other.poll() is None
    out, told = ended(other)
    assert (out != "", told) == (True, "")
    with reading(issued) as book:
        there = book.execute("SELECT words FROM entry WHERE kind = 'note' ORDER BY id").fetchall()
    assert there == [("first",), ("second",)]


@pytest.mark.parametrize(
    "arguments", [("log", "2027-001", "note", "mine"), ("pieces",), ("backup",)], ids=lambda given: given[0]
)
def test_a_command_waits_while_another_terminal_puts_its_pages_on_disk(
    issued: Path, arguments: tuple[str, ...]
) -> None:
    with locked(issued) as end, command(*arguments, "--shop", issued) as other:
        time.sleep(START_S + LONGER_THAN_A_GLANCE_S)
        early = other.poll()
        end()
        ended(other)
    assert early is None


def test_a_wait_beyond_patience_ends_in_words_and_with_nothing_added(
    issued: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(store, "PATIENCE_S", 1.0)
    with writing(issued, quiet) as book:
        assert run(["log", "2027-001", "note", "second", "--shop", str(issued)]) == 2
        entries.add(book, note("first"))
    out, told = capsys.readouterr()
    assert out == ""
    assert told == (
        f"note: {worded(WAITING, 'terminal')}\nledger.sqlite: is being written by another terminal for more than 1 s; end that one, then try"
        " again.\n1 thing to put right; nothing was written.\n"
    )
    with reading(issued) as book:
        assert [row[0] for row in book.execute("SELECT words FROM entry WHERE kind = 'note'")] == ["first"]


def test_a_reader_sees_one_state_to_its_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    filled(tmp_path)
    monkeypatch.setattr(store, "PATIENCE_S", 0.5)
    with reading(tmp_path) as book:
        before = sound.counts(book)
        with pytest.raises(Problems, match="is being written"):
            added_to(tmp_path)
        assert sound.counts(book) == before
    with reading(tmp_path) as book:
        assert sound.counts(book) == before


def added_to(folder: Path) -> None:
    with writing(folder, quiet) as book:
        entries.add(book, note("too soon"))
