"""A ledger of any older version is brought up to date whole, and a file that is none is left alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from pathlib import Path

import pytest
from ledger.books import dumped, filled, quiet
from ledger.terminals import all_added, worker

from quoting.errors import Problems
from quoting.ledger import schema, sound, store
from quoting.ledger.entries import of_piece
from quoting.ledger.quotes import every
from quoting.ledger.schema import (
    APPLICATION_ID,
    MIGRATIONS,
    VERSION,
    refuse_strangers,
    statements,
    version_of,
)
from quoting.ledger.store import LEDGER_FILE, reading, writing

VERSIONS = Path(__file__).with_name("versions")
INVENTED = "ALTER TABLE piece ADD COLUMN nickname TEXT;\nCREATE TABLE tag (name TEXT PRIMARY KEY) STRICT;\n"
BROKEN = (
    "CREATE TABLE label (name TEXT PRIMARY KEY) STRICT;\nINSERT INTO piece (year, serial) VALUES (2027, 0);\n"
)


def stored(folder: Path, version: int) -> Path:
    """The ledger that a version of the tool left behind."""
    path = folder / LEDGER_FILE
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((VERSIONS / f"version_{version}.sql").read_text(encoding="utf-8"))
    return path


def raw(path: Path, *commands: str) -> None:
    """Do something to a database file behind the ledger's back."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for command in commands:
            connection.execute(command)


def set_migrations(patch: pytest.MonkeyPatch, *more: str) -> None:
    """Let this version of the tool know further versions of the ledger."""
    migrations = (*MIGRATIONS, *more)
    patch.setattr(store, "VERSION", len(migrations))
    patch.setattr(store, "refuse_strangers", lambda book, name: refuse_strangers(book, name, len(migrations)))
    patch.setattr(store, "migrate", lambda book: schema.migrate(book, migrations))


def objects(path: Path) -> dict[str, str]:
    """Tables, indexes and triggers of a file, as they were made."""
    with closing(sqlite3.connect(path)) as connection:
        return dict(connection.execute("SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL"))


def version_in(path: Path) -> int:
    """The version a file is of."""
    with closing(sqlite3.connect(path)) as connection:
        return version_of(connection)


# --- every version there was


def test_a_ledger_of_every_version_is_kept_to_test_with() -> None:
    assert sorted(path.name for path in VERSIONS.iterdir()) == [f"version_{n}.sql" for n in range(1, VERSION + 1)]  # fmt: skip


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_a_ledger_of_an_older_version_opens_and_is_sound(tmp_path: Path, version: int) -> None:
    path = stored(tmp_path, version)
    with reading(tmp_path) as book:
        assert sound.faults(book) == []
        assert [str(one.number) for one in every(book)] == ["2027-001", "2027-002"]
        assert len(of_piece(book, 1)) == 5
    with writing(tmp_path, quiet):
        pass
    assert version_in(path) == VERSION


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_an_upgraded_ledger_has_the_tables_of_a_new_one(tmp_path: Path, version: int) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    old.mkdir()
    new.mkdir()
    stored(old, version)
    for folder in (old, new):
        with writing(folder, quiet):
            pass
    assert objects(old / LEDGER_FILE) == objects(new / LEDGER_FILE)


def test_the_first_migration_stays_as_it_was_once_released(tmp_path: Path) -> None:
    made = tmp_path / "made.sqlite"
    with closing(sqlite3.connect(made)) as connection:
        schema.migrate(connection, MIGRATIONS[:1])
    assert objects(made) == objects(stored(tmp_path, 1))


# --- the next version, invented


@pytest.mark.parametrize("version", range(VERSION + 1))
def test_an_upgrade_from_any_version_keeps_every_row(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, version: int
) -> None:
    path = stored(tmp_path, version) if version else tmp_path / LEDGER_FILE
    before = [line for line in dumped(path) if "INSERT" in line and "piece" not in line]
    set_migrations(monkeypatch, INVENTED)
    with writing(tmp_path, quiet) as book:
        assert book.execute("SELECT count(*) FROM tag").fetchone() == (0,)
        assert book.execute("SELECT count(nickname) FROM piece").fetchone() == (0,)
    assert version_in(path) == VERSION + 1
    assert [line for line in dumped(path) if "INSERT" in line and "piece" not in line] == before


def test_an_older_ledger_is_upgraded_by_reading_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = filled(tmp_path)
    set_migrations(monkeypatch, INVENTED)
    with reading(tmp_path) as book:
        assert book.execute("SELECT count(*) FROM tag").fetchone() == (0,)
    assert version_in(path) == VERSION + 1


def test_a_copy_of_the_older_ledger_is_kept_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = dumped(filled(tmp_path))
    set_migrations(monkeypatch, INVENTED)
    for _ in range(2):
        with writing(tmp_path, quiet):
            pass
    copy = f"ledger of version {VERSION}.sqlite"
    assert sorted(path.name for path in tmp_path.iterdir()) == [copy, LEDGER_FILE]
    assert dumped(tmp_path / copy) == before
    assert version_in(tmp_path / copy) == VERSION


def test_an_upgrade_that_fails_leaves_the_ledger_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = filled(tmp_path)
    before = dumped(path)
    set_migrations(monkeypatch, INVENTED, BROKEN)
    with pytest.raises(sqlite3.IntegrityError, match="serial"):
        begun(tmp_path)
    assert (dumped(path), version_in(path)) == (before, VERSION)


def test_an_upgrade_succeeds_after_one_that_failed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = filled(tmp_path)
    set_migrations(monkeypatch, BROKEN)
    with pytest.raises(sqlite3.IntegrityError, match="serial"):
        begun(tmp_path)
    set_migrations(monkeypatch, INVENTED)
    begun(tmp_path)
    assert version_in(path) == VERSION + 1
    copies = {f"ledger of version {VERSION}{more}.sqlite" for more in ("", " (2)")}
    assert {path.name for path in tmp_path.iterdir()} == {LEDGER_FILE, *copies}


def begun(folder: Path) -> None:
    """Write nothing, but open for it."""
    with writing(folder, quiet):
        pass


# --- what is no ledger, or not of this version


def test_an_empty_file_becomes_a_ledger(tmp_path: Path) -> None:
    path = tmp_path / LEDGER_FILE
    path.touch()
    begun(tmp_path)
    with reading(tmp_path) as book:
        assert sound.faults(book) == []
    assert version_in(path) == VERSION


def test_reading_makes_no_ledger_of_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / LEDGER_FILE
    path.touch()
    with pytest.raises(Problems, match="found no ledger"), reading(tmp_path):
        pass
    assert path.read_bytes() == b""


def test_a_ledger_that_another_terminal_makes_during_the_first_look_is_not_taken_for_a_stranger(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / LEDGER_FILE
    with (
        closing(sqlite3.connect(path, isolation_level=None)) as mine,
        closing(sqlite3.connect(path, timeout=0)) as other,
    ):

        def meanwhile(connection: sqlite3.Connection) -> int:
            with suppress(sqlite3.OperationalError):  # refused while the first look lasts
                other.executescript((VERSIONS / "version_1.sql").read_text(encoding="utf-8"))
            return version_of(connection)

        monkeypatch.setattr(schema, "version_of", meanwhile)
        refuse_strangers(mine, LEDGER_FILE)


def test_terminals_that_make_a_new_ledger_at_once_make_one(tmp_path: Path) -> None:
    workers = [worker(tmp_path, name, 1) for name in "abcdef"]
    for one in workers:
        with one:
            assert one.stdout is not None
            one.stdout.read()
        assert one.returncode == 0
    assert len(all_added(tmp_path)) == 6


@pytest.mark.parametrize(
    "open_it", [begun, lambda folder: reading(folder).__enter__()], ids=["write", "read"]
)
@pytest.mark.parametrize(
    ("commands", "words"),
    [
        ((f"PRAGMA user_version = {VERSION + 1}",), f"was written by a newer version of quoting .ledger {VERSION + 1},"),
        (("PRAGMA application_id = 1",), "is a database of another kind"),
        (("PRAGMA application_id = 0",), "is a database of another kind"),
        (("PRAGMA user_version = 0",), "is a database of another kind"),
    ],
    ids=["newer", "another kind", "unmarked", "no version"],
)  # fmt: skip
def test_a_newer_or_foreign_file_is_refused_and_left_as_it_is(
    tmp_path: Path, commands: tuple[str, ...], words: str, open_it: object
) -> None:
    path = filled(tmp_path)
    raw(path, *commands)
    before = path.read_bytes()
    with pytest.raises(Problems, match=words):
        open_it(tmp_path)  # type: ignore[operator]
    assert path.read_bytes() == before


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    path = tmp_path / LEDGER_FILE
    raw(path, "CREATE TABLE bookmark (url TEXT)")
    before = path.read_bytes()
    with pytest.raises(Problems, match="is a database of another kind"):
        begun(tmp_path)
    assert path.read_bytes() == before


# --- the machinery


def test_statements_are_cut_where_they_end_and_not_inside_a_trigger() -> None:
    script = "CREATE TABLE a (b);\nCREATE TRIGGER t BEFORE DELETE ON a BEGIN\nSELECT 1;\nSELECT 2;\nEND;\n"
    assert [one.split()[1] for one in statements(script)] == ["TABLE", "TRIGGER"]


def test_a_script_that_stops_in_a_statement_is_refused() -> None:
    with pytest.raises(ValueError, match="no whole statement"):
        list(statements("CREATE TABLE a (b);\nCREATE TABLE c (d)"))


def test_every_table_is_strict_and_marked_as_ours(tmp_path: Path) -> None:
    with closing(sqlite3.connect(filled(tmp_path))) as connection:
        strict = dict(connection.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"))
        assert {name for name, is_strict in strict.items() if is_strict} == set(schema.TABLES)
        assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
