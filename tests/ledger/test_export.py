"""Everything in the ledger as plain files and back: nothing lost, nothing that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ledger.books import dump_of, dumped, filled, issue, quiet

from quoting.errors import Problems
from quoting.ledger import entries, export, schema
from quoting.ledger.entries import Entry
from quoting.ledger.store import LEDGER_FILE, reading, writing
from quoting.runs.ledger_files import export_all, restore

if TYPE_CHECKING:
    from collections.abc import Callable

HOSTILE = ("", "'", "''", "=1+1", "+1", "-1", "@a", "\t=1", "\r=1", "\n=1", "'=1", '"', '"",""', "a\rb", "a\r\nb", "a\nb",
           "a,b", "\x00", " ", "\ufeff", "\u202e", "NULL", "None", "1", "1e5", "\U0001f332", "#", "\r", "\n", "\r\n")  # fmt: skip
TEXTS = st.one_of(st.sampled_from(HOSTILE), st.text(st.characters(exclude_categories=["Cs"]), max_size=12))
NUMBERS = st.one_of(st.none(), st.floats(allow_nan=False, allow_infinity=False))
ENTRIES = st.builds(
    Entry, kind=st.sampled_from(["note", "paid", "hours"]), day=st.dates(date(1000, 1, 1)), line=TEXTS, task=TEXTS, part=TEXTS,
    stage=TEXTS, item=TEXTS, who=TEXTS, unit=TEXTS, receipt=TEXTS, said=TEXTS, words=TEXTS, source=TEXTS, amount=NUMBERS,
    hours=st.one_of(st.none(), st.floats(0, 1e300)), row_key=st.one_of(st.none(), TEXTS), about=st.booleans(),
    plies=st.one_of(st.none(), st.integers(0, 2**63 - 1)), money=st.one_of(st.none(), st.decimals(-10**9, 10**9, places=2)),
)  # fmt: skip
BOOKS = st.lists(ENTRIES, max_size=5, unique_by=lambda one: object() if one.row_key is None else one.row_key)
Form = tuple[str, bool]
FORMS = [pytest.param(False, id="csv"), pytest.param(True, id="json")]


def shop(folder: Path) -> Path:
    """A shop folder without a ledger."""
    folder.mkdir()
    (folder / "shop.toml").write_text("", encoding="utf-8")
    return folder


def exported(folder: Path, as_json: bool) -> Path:
    """The export of a ledger with a row of every kind."""
    filled(folder)
    export_all(folder, folder / "export", as_json)
    return folder / "export"


# --- there and back


@pytest.mark.parametrize("as_json", FORMS)
@given(rows=BOOKS, title=TEXTS, name=st.binary(max_size=50))
@example(
    rows=[Entry(kind="note", day=date(2027, 3, 1), words=one, row_key=one) for one in HOSTILE],
    title="a\rb",
    name=b"",
)
@settings(deadline=None, max_examples=80)
def test_whatever_is_in_the_ledger_comes_back_as_it_was(
    as_json: bool, rows: list[Entry], title: str, name: bytes
) -> None:
    with TemporaryDirectory() as made:
        old, new = Path(made, "old"), Path(made, "new")
        old.mkdir()
        new.mkdir()
        with writing(old, quiet) as book:
            issue(book, title, [name])
            for row in rows:
                entries.add(book, row)
        with reading(old) as book, writing(new, quiet) as copy:
            if as_json:
                export.from_json(copy, export.as_json(book))
            else:
                export.from_csv(copy, export.as_csv(book))
            assert dump_of(copy) == dump_of(book)


@pytest.mark.parametrize("as_json", FORMS)
def test_an_export_of_the_first_version_is_still_read(tmp_path: Path, as_json: bool) -> None:
    """It has no table of what was asked under a key: nothing was."""
    old, new = tmp_path / "old", tmp_path / "new"
    old.mkdir()
    new.mkdir()
    filled(old)
    with reading(old) as book:
        with writing(new, quiet) as copy:
            if as_json:
                whole = json.loads(export.as_json(book))
                del whole["tables"]["request"]
                export.from_json(copy, json.dumps(whole | {"version": 1}).encode())
            else:
                files = export.as_csv(book)
                mark = f"{export.FORMAT} {schema.VERSION}:".encode()
                files = {
                    name: data.replace(mark, f"{export.FORMAT} 1:".encode()) for name, data in files.items()
                }
                export.from_csv(copy, {name: data for name, data in files.items() if name != "request.csv"})
            rows = {table: copy.execute(f"SELECT * FROM {table}").fetchall() for table in schema.TABLES}
        assert rows.pop("request") == []
        assert rows == {
            table: book.execute(f"SELECT * FROM {table}").fetchall() for table in schema.FIRST_TABLES
        }


@given(rows=BOOKS, title=TEXTS)
@settings(deadline=None, max_examples=80)
def test_no_cell_of_an_export_is_a_formula(rows: list[Entry], title: str) -> None:
    with TemporaryDirectory() as made, writing(Path(made), quiet) as book:
        issue(book, title)
        for row in rows:
            entries.add(book, row)
        files = export.as_csv(book)
        types = {table: list(export._kinds(book, table).values()) for table in schema.TABLES}
    for table in schema.TABLES:
        text = files[f"{table}.csv"].decode().partition("\n")[2]
        for cells in list(csv.reader(io.StringIO(text, newline="")))[1:]:
            texts = [cell for cell, kind in zip(cells, types[table], strict=True) if kind.type == "TEXT"]
            assert [cell for cell in texts if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))] == []


@pytest.mark.parametrize("as_json", FORMS)
def test_a_ledger_with_a_row_of_every_kind_is_restored_by_the_command(tmp_path: Path, as_json: bool) -> None:
    out = exported(shop(tmp_path / "old"), as_json)
    new = shop(tmp_path / "new")
    rows = restore(new, out, quiet)
    assert rows == {
        "piece": 2,
        "blob": 8,
        "quote": 2,
        "entry": 7,
        "change_order": 1,
        "quote_file": 7,
        "change_file": 2,
        "request": 2,
    }
    assert dumped(new / LEDGER_FILE) == dumped(tmp_path / "old" / LEDGER_FILE)
    assert sorted(path.name for path in new.iterdir()) == [LEDGER_FILE, "shop.toml"]


def test_an_export_holds_every_table_and_column(tmp_path: Path) -> None:
    filled(tmp_path)
    with reading(tmp_path) as book:
        names = "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"
        assert sorted(schema.TABLES) == [row[0] for row in book.execute(names)]
        whole = json.loads(export.as_json(book))
        for table in schema.TABLES:
            columns = [row[1] for row in book.execute(f"PRAGMA table_info ({table})")]
            assert whole["tables"][table]["columns"] == columns


# --- damaged exports


def without_last_line(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[:-1]), encoding="utf-8")


def changed(old: str, new: str) -> Callable[[Path], None]:
    """A change of every place where a text stands in a file; it must be there."""

    def change(path: Path) -> None:
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    return change


CSV_DAMAGE = {
    "gone": ("entry.csv", Path.unlink),
    "a row lost": ("entry.csv", without_last_line),
    "a file's row lost": ("quote_file.csv", without_last_line),
    "empty": ("piece.csv", lambda path: path.write_bytes(b"")),
    "cut in a cell": ("quote.csv", lambda path: path.write_bytes(path.read_bytes()[:-25])),
    "other bytes": ("quote.csv", lambda path: path.write_bytes(b"\xff" + path.read_bytes())),
    "a newer version": ("quote.csv", changed(f"{export.FORMAT} {schema.VERSION}", f"{export.FORMAT} {schema.VERSION + 1}")),
    "no such column": ("quote.csv", changed("title", "colour")),
    "no such kind": ("entry.csv", changed(",note,", ",gossip,")),
    "no such day": ("entry.csv", changed("2027-03-01", "1 March")),
    "no number": ("piece.csv", changed("2027", "this year")),
    "a number too large": ("piece.csv", changed("2027", "9" * 30)),
    "a reference to nothing": ("entry.csv", changed("7,1,", "7,99,")),
    "two of a number": ("piece.csv", changed("2,2027,2", "2,2027,1")),
    "a gap": ("piece.csv", changed("2,2027,2", "2,2027,3")),
}  # fmt: skip
JSON_DAMAGE = {
    "empty": lambda path: path.write_bytes(b""),
    "cut": lambda path: path.write_bytes(path.read_bytes()[:-25]),
    "no object": lambda path: path.write_bytes(b"[]"),
    "too deep": lambda path: path.write_bytes(b"[" * 100_000),
    "another format": changed(export.FORMAT, "something else"),
    "no such table": changed('"piece"', '"parcel"'),
    "a list in a cell": changed('"commission"', '["commission"]'),
    "a table in a cell": changed('"commission"', '{"a": 1}'),
    "no base64": changed('"base64": "', '"base64": "?'),
    "no number": changed("2027,", '"this year",'),
    "a number too large": changed("2027,", "9" * 30 + ","),
    "columns that are none": changed('"columns": [', '"columns": [[], '),
}


def refused(tmp_path: Path, out: Path, named: str) -> None:
    """Restoring ends in words that name the file, and leaves nothing behind."""
    new = shop(tmp_path / "new")
    with pytest.raises(Problems) as wrong:
        restore(new, out, quiet)
    assert named in str(wrong.value)
    assert sorted(path.name for path in new.iterdir()) == ["shop.toml"]


@pytest.mark.parametrize("fault", CSV_DAMAGE)
def test_a_damaged_export_of_tables_is_refused(tmp_path: Path, fault: str) -> None:
    out = exported(shop(tmp_path / "old"), as_json=False)
    name, damage = CSV_DAMAGE[fault]
    damage(out / name)
    refused(tmp_path, out, "year 2027: 2 pieces, but the last is 3" if fault == "a gap" else name)


@pytest.mark.parametrize("fault", JSON_DAMAGE)
def test_a_damaged_export_in_one_file_is_refused(tmp_path: Path, fault: str) -> None:
    out = exported(shop(tmp_path / "old"), as_json=True)
    JSON_DAMAGE[fault](out / export.JSON_FILE)
    refused(tmp_path, out, export.JSON_FILE)


def test_a_kept_file_that_was_lost_or_changed_is_told(tmp_path: Path) -> None:
    out = exported(shop(tmp_path / "old"), as_json=False)
    first, second, *_ = sorted((out / export.FILES).glob("[0-9a-f]*"))
    first.write_bytes(first.read_bytes() + b" ")
    refused(tmp_path, out, f"file {first.name[:12]}: its content does not fit its fingerprint")
    second.unlink()
    (tmp_path / "new" / "shop.toml").unlink()
    (tmp_path / "new").rmdir()
    refused(tmp_path, out, second.name)


def test_restoring_never_replaces_a_ledger(tmp_path: Path) -> None:
    out = exported(shop(tmp_path / "old"), as_json=True)
    new = shop(tmp_path / "new")
    with writing(new, quiet) as book:
        issue(book)
    before = (new / LEDGER_FILE).read_bytes()
    with pytest.raises(Problems, match="is there already"):
        restore(new, out, quiet)
    assert (new / LEDGER_FILE).read_bytes() == before


def test_a_ledger_that_appears_while_another_is_restored_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = exported(shop(tmp_path / "old"), as_json=True)
    new = shop(tmp_path / "new")
    from_json = export.from_json

    def meanwhile(book: object, data: bytes) -> None:
        from_json(book, data)  # type: ignore[arg-type]
        (new / LEDGER_FILE).write_bytes(b"of another terminal")

    monkeypatch.setattr(export, "from_json", meanwhile)
    with pytest.raises(Problems, match="is there already"):
        restore(new, out, quiet)
    assert (new / LEDGER_FILE).read_bytes() == b"of another terminal"
