"""A ledger that version 0.1.0 left behind opens, and says and gives back what it said and gave back then.

`issued_before/shop` is that shop with its ledger: a piece that lost money, one of every trade with an option that was accepted, a change and a
revision, one for sale that was sold, a laminate in the middle of its build, one cut by a plan, and entries of every kind. Its quotes hold every
record that a price was made of. `issued_before/expected` is what each command said of it, under the command itself, and the fingerprints
of its papers.

These are facts of the past, so nothing here writes them anew. A paper never changes. Where a later version is to say something better
or to reckon something else, the line is changed by hand, in the commit that says why.
"""

from __future__ import annotations

import hashlib
import shlex
import shutil
from pathlib import Path

import pytest
from end_to_end.command import contents
from ledger.books import dumped

from quoting import __version__
from quoting.__main__ import run
from quoting.ledger.schema import KINDS
from quoting.ledger.store import LEDGER_FILE, reading

BEFORE = Path(__file__).with_name("issued_before")
EXPECTED = BEFORE / "expected"
SAID = sorted(EXPECTED.glob("*.txt"))
PAPERS = [line.split("  ", 1) for line in (EXPECTED / "papers.sha256").read_text("utf-8").splitlines()]
QUOTES = sorted({name.split()[0] for _, name in PAPERS})
PROMPT = "$ quoting "
MADE_BY = "0.1.0"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the shop, in which commands are run; its ledger is brought up to date by the first look at it."""
    folder = Path(shutil.copytree(BEFORE / "shop", tmp_path / "shop"))
    monkeypatch.chdir(folder)
    monkeypatch.setenv("COLUMNS", "100")
    with reading(folder):
        pass
    return folder


def test_bringing_it_up_to_date_changes_no_row_and_keeps_it_as_it_was(shop: Path) -> None:
    then = dumped(BEFORE / "shop" / LEDGER_FILE)
    assert dumped(shop / "ledger of version 1.sqlite") == then
    now = dumped(shop / LEDGER_FILE)
    assert set(then) <= set(now)
    assert [line for line in now if line not in set(then) and "request" not in line] == []
    assert [line for line in now if line.startswith("INSERT")] == [
        line for line in then if line.startswith("INSERT")
    ]


@pytest.mark.parametrize("file", SAID, ids=lambda file: file.stem)
def test_the_ledger_says_what_it_said(file: Path, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Word for word, but for the version that says it; and saying it changes no byte of the shop."""
    prompt, then = file.read_text("utf-8").split("\n", 1)
    before = contents(shop)
    assert run(shlex.split(prompt.removeprefix(PROMPT))) == 0
    now = capsys.readouterr().out
    assert now.replace(f'"engine": "{__version__}"', f'"engine": "{MADE_BY}"') == then
    assert contents(shop) == before


@pytest.mark.parametrize("number", QUOTES)
def test_the_papers_are_the_very_bytes(number: str, shop: Path, tmp_path: Path) -> None:
    """Of the quote and of its changes."""
    then, before = {name: sha256 for sha256, name in PAPERS if name.split()[0] == number}, contents(shop)
    papers = tmp_path / "papers"
    assert run(["show", number, "--out", str(papers)]) == 0
    given = [path for path in papers.iterdir() if not path.name.startswith(".")]
    assert {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in given} == then
    assert contents(shop) == before


def test_everything_that_can_be_logged_is_in_it(shop: Path) -> None:
    """And every quote has its papers among the expected ones."""
    with reading(shop) as book:
        assert {kind for (kind,) in book.execute("SELECT kind FROM entry")} == set(KINDS)
        assert book.execute("SELECT count(*) FROM quote").fetchone() == (len(QUOTES),)


def test_work_goes_on_in_it(shop: Path) -> None:
    before = (shop / LEDGER_FILE).read_bytes()
    for words in (
        ["note", "the edging is glued"],
        ["hours", "1 h", "assembly"],
        ["used", "0.1 L hard wax oil"],
    ):
        assert run(["log", "2026-004", *words]) == 0
    assert (shop / LEDGER_FILE).read_bytes() != before


@pytest.mark.parametrize("piece", ["2026-001 lectern", "2026-002 library_console"])
def test_a_day_sheet_that_was_logged_then_adds_nothing(
    piece: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Though the maker has put the words of today into it: what was spoiled was called otherwise when it was logged."""
    number, name = piece.split()
    sheet = shop / "log" / f"{name}.csv"
    assert ",spoiled," in sheet.read_text("utf-8")
    assert run(["log", number, "--csv", str(sheet)]) == 0
    assert f"{name}.csv: 0 entries added" in capsys.readouterr().out
