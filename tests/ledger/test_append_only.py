"""What is in the ledger stays as it was, and what cannot be read or written is told in words."""

from __future__ import annotations

import ctypes
import os
import random
import resource
import shutil
import sqlite3
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, quoting_process, quoting_run
from ledger.books import dumped, filled, note, pages, quiet

from quoting.errors import Problems
from quoting.ledger import entries, quotes, schema, sound
from quoting.ledger.store import LEDGER_FILE, reading, writing

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

    from quoting.ledger.store import Connection

PAGE = 4096
FLIPS = 1500


def executed(folder: Path, command: str) -> None:
    """Carry out a command on the ledger, past the functions that are there for it."""
    with writing(folder, quiet) as book:
        book.execute(command)


# --- rows


@pytest.mark.parametrize("table", schema.TABLES)
@pytest.mark.parametrize("verb", ["update", "delete", "replace"])
def test_no_row_of_any_table_can_be_changed_or_deleted(tmp_path: Path, table: str, verb: str) -> None:
    path = filled(tmp_path)
    before = dumped(path)
    with reading(tmp_path) as book:
        column = book.execute(f"PRAGMA table_info ({table})").fetchone()[1]
    commands = {
        "update": f"UPDATE {table} SET {column} = {column}",
        "delete": f"DELETE FROM {table}",
        "replace": f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}",
    }
    with pytest.raises(sqlite3.IntegrityError, match="rows of the ledger are never changed"):
        executed(tmp_path, commands[verb])
    assert dumped(path) == before


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("INSERT INTO piece (year, serial) VALUES ('this year', 3)", "cannot store TEXT value in INTEGER column"),
        ("INSERT INTO piece (year, serial) VALUES (2027, 3.5)", "cannot store REAL value in INTEGER column"),
        ("INSERT INTO piece (year, serial) VALUES (NULL, 3)", "NOT NULL"),
        ("INSERT INTO piece (year, serial) VALUES (2027, 0)", "serial > 0"),
        ("INSERT INTO piece (year, serial) VALUES (2027, 1)", "UNIQUE"),
        ("INSERT INTO blob VALUES (hex(zeroblob(32)), 'text')", "cannot store TEXT value in BLOB column"),
        ("INSERT INTO quote_file VALUES (99, 'source', 'a', (SELECT sha256 FROM blob))", "FOREIGN KEY"),
        ("INSERT INTO quote_file VALUES (1, 'source', 'a', 'no such file')", "FOREIGN KEY"),
        ("INSERT INTO change_file VALUES (1, 'source', 'a', (SELECT sha256 FROM blob))", "FOREIGN KEY"),
        ("INSERT INTO change_order VALUES (1, 0, 'agreed', 0, 0, 0, 0)", "position > 0"),
        ("INSERT INTO change_order VALUES (99, 1, 'agreed', 0, 0, 0, 0)", "FOREIGN KEY"),
        ("INSERT INTO change_order VALUES (1, 1, 'agreed', 1.5, 0, 0, 0)", "cannot store REAL value in INTEGER column"),
    ],
)  # fmt: skip
def test_the_tables_refuse_a_value_of_the_wrong_kind(tmp_path: Path, command: str, words: str) -> None:
    filled(tmp_path)
    with pytest.raises(sqlite3.IntegrityError, match=words):
        executed(tmp_path, command)


def test_what_fails_in_the_middle_of_a_transaction_is_not_there_by_half(tmp_path: Path) -> None:
    before = dumped(filled(tmp_path))

    def half() -> None:
        with writing(tmp_path, quiet) as book:
            entries.add(book, note("half"))
            raise RuntimeError

    with pytest.raises(RuntimeError):
        half()
    assert dumped(tmp_path / LEDGER_FILE) == before


def test_every_transaction_is_on_disk_with_its_folder_before_it_is_acknowledged(tmp_path: Path) -> None:
    extra = 3  # SQLite, PRAGMA synchronous: 3 EXTRA; as FULL, and the folder of the journal is synced too
    with writing(tmp_path, quiet) as book:
        assert pragma(book, "journal_mode") == "delete"
        assert pragma(book, "synchronous") == extra
        assert pragma(book, "foreign_keys") == 1


def pragma(book: Connection, name: str) -> object:
    return book.execute(f"PRAGMA {name}").fetchone()[0]


# --- files that were damaged


def looked_over(folder: Path) -> list[str]:
    """Everything that can be found wrong with a ledger, in words."""
    try:
        with reading(folder) as book:
            quotes.every(book)
            for piece in (None, 1, 2):
                entries.of_piece(book, piece)
            return sound.faults(book)
    except Problems as wrong:
        return [str(wrong)]


def test_a_bit_that_flips_anywhere_in_the_file_never_ends_in_a_fault_of_ours(tmp_path: Path) -> None:
    rng = random.Random(5)
    path = filled(tmp_path)
    whole, data = dumped(path), path.read_bytes()
    told = 0
    for _ in range(FLIPS):
        place = rng.randrange(len(data))
        path.write_bytes(data[:place] + bytes([data[place] ^ (1 << rng.randrange(8))]) + data[place + 1 :])
        told += bool(looked_over(tmp_path))
    assert told > FLIPS // 20
    path.write_bytes(data)
    assert (looked_over(tmp_path), dumped(path)) == ([], whole)


@pytest.mark.parametrize("kept", [1, 100, PAGE - 1, PAGE, 3 * PAGE, 5 * PAGE + 7])
def test_a_ledger_that_was_cut_off_is_told(issued: Path, kept: int) -> None:
    path = issued / LEDGER_FILE
    path.write_bytes(path.read_bytes()[:kept])
    told(quoting_run("ledger", "check", "--shop", issued), "ledger.sqlite: is damaged")


@pytest.mark.parametrize(
    "arguments", [("pieces",), ("log", "2027-001", "note", "a"), ("ledger", "check"), ("backup",)]
)
def test_a_file_that_is_no_database_is_told_and_left_alone(issued: Path, arguments: tuple[str, ...]) -> None:
    path = issued / LEDGER_FILE
    path.write_text("a shopping list\n" * 100, encoding="utf-8")
    before = contents(issued)
    told(
        quoting_run(*arguments, "--shop", issued),
        "is damaged (file is not a database); move it away together",
    )
    assert {name: data for name, data in contents(issued).items() if name != "backups"} == before


def test_pages_that_were_mixed_up_are_told_by_the_check(issued: Path) -> None:
    path = issued / LEDGER_FILE
    data = path.read_bytes()
    path.write_bytes(
        data[: 2 * PAGE] + data[3 * PAGE : 4 * PAGE] + data[2 * PAGE : 3 * PAGE] + data[4 * PAGE :]
    )
    done = quoting_run("ledger", "check", "--shop", issued)
    assert done.returncode == 2
    assert "sound" not in done.stdout


def test_a_kept_document_that_changed_is_told_by_the_check(issued: Path) -> None:
    path = issued / LEDGER_FILE
    data = path.read_bytes()
    assert data.count(b"%PDF-1.4") == 2
    path.write_bytes(data.replace(b"%PDF-1.4", b"%PDF-1.5"))
    done = quoting_run("ledger", "check", "--shop", issued)
    assert (done.returncode, done.stdout.count("its content does not fit its fingerprint")) == (2, 2)


# --- places that cannot be written


def told(done: subprocess.CompletedProcess[str], words: str) -> None:
    """The command ended in these words and wrote nothing out."""
    assert (done.returncode, done.stdout) == (2, ""), done.stderr
    assert words in done.stderr


def bound_by_permissions() -> None:
    """Let a process that is started as root obey the permissions of files: it loses the right to pass over them."""
    drop_from_bounds, pass_over_permissions = (
        24,
        1,
    )  # Linux, prctl(2) PR_CAPBSET_DROP, capabilities(7) CAP_DAC_OVERRIDE
    if os.geteuid() == 0:
        assert ctypes.CDLL(None).prctl(drop_from_bounds, pass_over_permissions, 0, 0, 0) == 0


def with_little_room(size: int) -> None:
    """Let no file of a process grow beyond a size [bytes], as on a disk that is full."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def test_a_folder_that_may_not_be_written_is_told(issued: Path) -> None:
    before = contents(issued)
    (issued / LEDGER_FILE).chmod(0o444)
    issued.chmod(0o555)
    try:
        log = quoting_process(
            "log", "2027-001", "note", "a", "--shop", issued, preexec_fn=bound_by_permissions
        )
        again = quoting_process(
            "issue", issued / "jobs" / "flax_screen.toml", preexec_fn=bound_by_permissions
        )
        read = quoting_process("pieces", "--all", "--shop", issued, preexec_fn=bound_by_permissions)
    finally:
        issued.chmod(0o755)
    told(log, "ledger.sqlite: cannot be written (attempt to write a readonly database)")
    told(again, "ledger.sqlite: cannot be written (attempt to write a readonly database)")
    assert (read.returncode, "2027-001" in read.stdout) == (0, True), read.stderr
    assert contents(issued) == before


def test_a_new_ledger_in_a_folder_that_may_not_be_written_is_told(samples: Path) -> None:
    samples.chmod(0o555)
    try:
        done = quoting_process("issue", samples / "jobs" / "ash_bench.toml", preexec_fn=bound_by_permissions)
    finally:
        samples.chmod(0o755)
    told(done, "ledger.sqlite: cannot be written (unable to open database file)")
    assert not (samples / LEDGER_FILE).exists()


def test_a_full_disk_is_told_and_leaves_the_ledger_as_it_was(issued: Path) -> None:
    before = dumped(issued / LEDGER_FILE)
    size = (issued / LEDGER_FILE).stat().st_size
    done = quoting_process(
        "issue", issued / "jobs" / "flax_screen.toml", preexec_fn=lambda: with_little_room(size + PAGE)
    )
    told(done, "ledger.sqlite: cannot be written (")
    assert dumped(issued / LEDGER_FILE) == before
    assert quoting_run("ledger", "check", "--shop", issued).stdout.partition("\n")[0].endswith(": sound")
    assert quoting_run("issue", issued / "jobs" / "flax_screen.toml").returncode == 0


@pytest.mark.parametrize(
    "arguments", [("backup",), ("ledger", "export", "out"), ("ledger", "export", "out", "--json")]
)
def test_a_full_disk_leaves_no_half_copy(issued: Path, arguments: tuple[str, ...]) -> None:
    before = {name for name in contents(issued) if not name.startswith(("out", "backups"))}
    arguments = tuple(str(issued / one) if one == "out" else one for one in arguments)
    done = quoting_process(*arguments, "--shop", issued, preexec_fn=lambda: with_little_room(3 * PAGE))
    told(done, "")
    left = {name for name in contents(issued) if name not in before}
    assert left <= {"out", "out/files", "backups"}


def test_a_disk_that_fills_while_a_transaction_grows_leaves_the_ledger_as_it_was(tmp_path: Path) -> None:
    before = dumped(filled(tmp_path))
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (2**21, hard))
    try:
        with pytest.raises(Problems, match="cannot be written"):
            grown(tmp_path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert dumped(tmp_path / LEDGER_FILE) == before


def grown(folder: Path) -> None:
    """Add more than the memory of one transaction holds, so that it is written while it lasts."""
    with writing(folder, quiet) as book:
        for count in range(50):
            book.execute("INSERT INTO blob VALUES (?, ?)", (f"{count:064}", pages(str(count), 200_000)))


def test_a_backup_of_a_damaged_ledger_says_so(issued: Path) -> None:
    path = issued / LEDGER_FILE
    path.write_bytes(path.read_bytes().replace(b"%PDF-1.4", b"%PDF-1.5"))
    done = quoting_run("backup", "--shop", issued)
    told(done, "its content does not fit its fingerprint; put an older copy in the ledger's place")
    assert "nothing was written" not in done.stderr
    assert len(list((issued / "backups").iterdir())) == 1


def test_a_backup_is_a_sound_ledger_with_the_same_rows(issued: Path) -> None:
    done = quoting_run("backup", "--shop", issued)
    assert done.returncode == 0, done.stderr
    (copy,) = (issued / "backups").iterdir()
    assert dumped(copy) == dumped(issued / LEDGER_FILE)
    (issued / LEDGER_FILE).unlink()
    shutil.copy(copy, issued / LEDGER_FILE)
    assert quoting_run("ledger", "check", "--shop", issued).stdout.partition("\n")[0].endswith(": sound")
