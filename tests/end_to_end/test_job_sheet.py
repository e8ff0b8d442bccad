"""A job as a spreadsheet: filled in, priced, told where it is wrong, and turned into a job file and back without loss."""

from __future__ import annotations

import csv
import shutil
import tomllib
import zipfile
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import openpyxl
import pytest
from documents.workbooks import recalculated
from end_to_end.command import done_well, edited, price_of, quoting_run
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from sharing import once

from quoting.documents.job_form import job_book_bytes
from quoting.job.book import read_job_book
from quoting.job.book_cells import field_hint
from quoting.job.starters import sections, shipped
from quoting.job.text import job_text

if TYPE_CHECKING:
    from collections.abc import Callable

JOBS = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))


def raw_of(job: Path) -> dict[str, Any]:
    return tomllib.loads(job.read_text("utf-8"))


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_samples_survive_both_ways(job: Path, tmp_path: Path) -> None:
    """From a job file to a spreadsheet and back, every value is as it was; both are priced alike."""
    sheet, again = tmp_path / "job.xlsx", tmp_path / "again.toml"
    assert quoting_run("convert", job, sheet).returncode == 0
    assert quoting_run("convert", sheet, again).returncode == 0
    assert raw_of(again) == raw_of(job)


def test_a_spreadsheet_has_the_same_price(console: Path) -> None:
    """To the cent, with the same lines."""
    sheet = console.with_name("console.xlsx")
    assert quoting_run("convert", console, sheet).returncode == 0
    before, after = price_of(console), price_of(sheet)
    for name in ("price", "lines", "quantities"):
        assert after[name] == before[name]


texts = st.text(max_size=30).filter(lambda text: not any(0xD800 <= ord(c) <= 0xDFFF for c in text))
values = st.recursive(
    texts
    | st.booleans()
    | st.integers(-(10**12), 10**12)
    | st.floats(-1e9, 1e9).map(lambda number: float(f"{number:.12g}"))  # a spreadsheet keeps 15 digits
    | st.dates(date(1990, 1, 1), date(2090, 1, 1))
    | st.sampled_from(['=1+1', "+1", "-1", "@a", "[x", '{x', '"x', "4/4", "1/2", "00", "TRUE", "5 %", " x "]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts.filter(bool), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip
names = st.sampled_from([one.name for one in sections("job.toml")["hardwood"].fields]) | st.just("odd-field")


jobs = given(
    entries=st.lists(st.dictionaries(names, values, min_size=1, max_size=5), min_size=1, max_size=3),
    title=texts,
)
usual = settings(
    deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate]
)  # a workbook a try: to shrink takes minutes


@jobs
@settings(usual, max_examples=6)
def test_nothing_is_lost_on_the_way(
    entries: list[dict[str, Any]], title: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _comes_back(entries, title, tmp_path_factory.mktemp("sheet"))


@pytest.mark.exhaustive
@jobs
@settings(usual, max_examples=25)
def test_nothing_is_lost_on_the_way_of_many(
    entries: list[dict[str, Any]], title: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _comes_back(entries, title, tmp_path_factory.mktemp("sheet"))


def _comes_back(entries: list[dict[str, Any]], title: str, folder: Path) -> None:
    """Whatever a job holds, text that looks like something else included, comes back from a spreadsheet and from a text."""
    kept = [{name: one for name, one in entry.items() if not _becomes_text(name, one)} for entry in entries]
    raw = {
        "format": 1,
        "piece": {"title": title},
        "hardwood": [entry for entry in kept if entry] or [{"part": "a"}],
        "cause": {"wild grain": {"factor": "1 .. 2 .. 3"}},
    }
    assert tomllib.loads(job_text(raw)) == raw
    assert tomllib.loads(job_text(raw, explained=False)) == raw
    path = folder / "job.xlsx"
    path.write_bytes(job_book_bytes(raw, {}))
    assert read_job_book(path).raw == raw


def _becomes_text(name: str, value: Any) -> bool:
    """A number in a field of text is read as text from a spreadsheet, and told as wrong in a job file."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and field_hint("hardwood", name) is str


def test_another_program_saves_the_same_job(tmp_path: Path, bench: Path) -> None:
    """Opened and saved by a spreadsheet program, the starter job is read as before; its lists to choose from are still there."""
    sheet = tmp_path / "first.xlsx"
    assert quoting_run("convert", bench, sheet).returncode == 0
    recalculated(tmp_path / "office", {"job": sheet.read_bytes()})
    saved = tmp_path / "office" / "made" / "0.xlsx"
    assert read_job_book(saved).raw == read_job_book(sheet).raw
    rules = openpyxl.load_workbook(saved)["hardwood"].data_validations.dataValidation
    offered = [str(rule.formula1) for rule in rules]
    assert '"plain,matched"' in offered
    assert '"bought,rack,given,client"' in offered
    assert any("Lists" in one for one in offered)


@pytest.fixture(scope="session")
def started_with_a_sheet(started: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop whose first job is a spreadsheet too; not to be changed."""

    def make(folder: Path) -> None:
        shutil.copytree(started, folder)
        done_well("convert", folder / "jobs" / "first-bench.toml", folder / "jobs" / "mine.xlsx")

    return once(tmp_path_factory, "started_with_a_sheet", make)


@pytest.fixture
def filled(shop: Path, started_with_a_sheet: Path) -> Path:
    """The spreadsheet in a shop of one's own."""
    return Path(shutil.copy(started_with_a_sheet / "jobs" / "mine.xlsx", shop / "jobs"))


def change(sheet: Path, act: Callable[[Any], None]) -> None:
    book = openpyxl.load_workbook(sheet)
    act(book)
    book.save(sheet)


def column(page: Any, name: str) -> str:
    return next(str(cell.column_letter) for cell in page[1] if cell.value == name)


def told(sheet: Path) -> str:
    done = quoting_run("check", sheet)
    assert done.returncode == 2, done.stdout
    return done.stderr


def test_the_starter_job_as_a_sheet_prices_as_it_stands(filled: Path, bench: Path) -> None:
    """It is the starter job, in the other form."""
    assert price_of(filled)["price"] == price_of(bench)["price"]


def test_what_is_wrong_is_told_by_sheet_and_cell(filled: Path) -> None:
    """All of it at once: a length without a unit, a species nobody knows, a column that is none, a missing field."""

    def act(book: Any) -> None:
        page = book["hardwood"]
        page[f"{column(page, 'length')}3"] = 48
        page[f"{column(page, 'species')}4"] = "red oack"
        page[f"{column(page, 'quantity')}4"] = "four"
        page[f"{column(page, 'thickness')}5"] = "1 in"
        book["finish"][f"{column(book['finish'], 'product')}3"] = None

    change(filled, act)
    said = told(filled)
    page = openpyxl.load_workbook(filled)["hardwood"]
    assert (
        f"mine.xlsx, sheet hardwood, cell {column(page, 'length')}3: hardwood.seat.length: found 48" in said
    )
    assert f"sheet hardwood, cell {column(page, 'quantity')}4: hardwood.leg.quantity" in said
    assert "mine.xlsx, sheet hardwood, row 5: hardwood.3.part: found nothing" in said
    assert "mine.xlsx, sheet finish, row 3: finish.oil.product: found nothing" in said
    assert "Traceback" not in said


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda book: book.create_sheet("hardwoods"), 'sheet hardwoods: found a sheet that is no section of a job; write "hardwood"'),
        (lambda book: book.remove(book["Job"]), 'found no sheet "Job"'),
        (lambda book: book["hardwood"].__setitem__("C3", "=1+1"), "sheet hardwood, cell C3: found a formula without a value"),
        (lambda book: book["hardwood"].__setitem__("C3", "[1, "), "sheet hardwood, cell C3: cannot be read"),
        (lambda book: book["Job"].__setitem__("C200", "alone"), "sheet Job, cell C200: found a value without its section"),
        (lambda book: book["hardwood"].__setitem__("AZ3", "alone"), "sheet hardwood, cell AZ3: found a value in a column without a name"),
        (lambda book: book["hardwood"].delete_rows(2), "sheet hardwood, cell A2: found an entry in the second row"),
        (lambda book: book["hardwood"].__setitem__("A2", "table top"), "sheet hardwood, cell A2: found an entry in the second row"),
        (lambda book: book["hardwood"].__setitem__("B1", "part"), 'sheet hardwood, row 1: found two columns "part"'),
        (lambda book: book["Job"].append(["piece", "title", "Another"]), "found piece.title a second time: it stands in sheet Job, cell C2 too"),
        (lambda book: book["Job"].append(["format", "x", 2]), 'found the section "format", which does not belong here'),
        (lambda book: book["Job"].append(["hardwood", "part", "a"]), 'found the section "hardwood", which does not belong here'),
        (lambda book: book["Job"].__setitem__("C2", '"Tide" #2'), "sheet Job, cell C2: cannot be read"),
        (lambda book: book["Job"].__setitem__("C2", '"x"\nevil = 2'), "sheet Job, cell C2: cannot be read"),
        (lambda book: [book["cause"].__setitem__(f"A{row}", "wild") for row in (3, 4)], 'found the cause "wild" a second time'),
        (lambda book: book["hardwood"].__setitem__("A9000", "far below"), "sheet hardwood: found more than 5000 rows"),
    ],
)  # fmt: skip
def test_a_sheet_that_cannot_be_read_is_told(filled: Path, act: Callable[[Any], None], words: str) -> None:
    change(filled, act)
    assert words in told(filled)


def test_numbers_days_and_shares_as_spreadsheets_have_them(filled: Path) -> None:
    """A code that is a number is text, a cell in per cent is a share, a day is a day."""

    def act(book: Any) -> None:
        rows = {(row[0].value, row[1].value): row[2] for row in book["Job"].iter_rows(min_row=2)}
        rows["piece", "code"].value = 7
        rows["price", "margin"].value, rows["price", "margin"].number_format = 0.305, "0.0%"
        rows["quote", "date"].value = date(2027, 3, 1)
        rows["price", "rush"].value = True

    change(filled, act)
    raw = read_job_book(filled).raw
    assert raw["piece"]["code"] == "7"
    assert raw["price"] == {"margin": "30.5 %", "rush": True}
    assert raw["quote"]["date"] == date(2027, 3, 1)
    assert price_of(filled)["job"] == "7"


def test_words_as_people_write_them(filled: Path) -> None:
    """Yes and no, a number or a day typed as text, a list with semicolons, a per-cent sign that is only shown."""

    def act(book: Any) -> None:
        page = book["hardwood"]
        page[f"{column(page, 'glued_up')}3"] = "yes"
        page[f"{column(page, 'quantity')}3"] = "2"
        rows = {(row[0].value, row[1].value): row[2] for row in book["Job"].iter_rows(min_row=2)}
        rows["piece", "included"].value = "felt pads; a care sheet"
        rows["quote", "date"].value = "2027-03-01"
        rows["delivery", "flights"].value, rows["delivery", "flights"].number_format = 2, '0"%"'

    change(filled, act)
    raw = read_job_book(filled).raw
    assert (raw["hardwood"][0]["glued_up"], raw["hardwood"][0]["quantity"]) == (True, 2)
    assert raw["piece"]["included"] == ["felt pads", "a care sheet"]
    assert (raw["quote"]["date"], raw["delivery"]["flights"]) == (date(2027, 3, 1), 2)
    assert quoting_run("check", filled).returncode == 0


@pytest.mark.parametrize("name", ["xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml"])
def test_a_damaged_spreadsheet_is_told(filled: Path, name: str) -> None:
    """Cut short in the middle of any of its parts."""
    with zipfile.ZipFile(filled) as whole:
        parts = {one: whole.read(one) for one in whole.namelist()}
    parts[name] = parts[name][: len(parts[name]) // 2]
    with zipfile.ZipFile(filled, "w") as damaged:
        for one, data in parts.items():
            damaged.writestr(one, data)
    assert "found no spreadsheet" in told(filled)


@pytest.mark.parametrize(
    "more", ['[[hardwod]]\npart = "a"\n', "[[client]]\n", 'colour = "red"\n', "[delivery]\nroad = 3\n"]
)
def test_a_job_that_is_not_right_is_not_converted(bench: Path, tmp_path: Path, more: str) -> None:
    """What the other form could not hold would be lost in silence."""
    job = bench.with_name("wrong.toml")
    job.write_text(f'format = 1\n[piece]\ntitle = "x"\n{more}', "utf-8")
    done = quoting_run("convert", job, tmp_path / "wrong.xlsx")
    assert done.returncode == 2
    assert not (tmp_path / "wrong.xlsx").exists()


def test_the_longest_text_is_kept_whole(bench: Path, tmp_path: Path) -> None:
    """The longest text that a job may have, 20,000 signs, is kept whole."""
    edited(bench, 'words = "A low bench', 'words = "' + "very " * 3980 + "low bench")
    done = quoting_run("convert", bench, tmp_path / "long.xlsx")
    assert done.returncode == 0, done.stderr
    assert raw_of(bench) == {**raw_of(bench), **read_job_book(tmp_path / "long.xlsx").raw}


def test_no_spreadsheet_is_told(shop: Path) -> None:
    """A text that is called so, and a name that is not there."""
    (shop / "jobs" / "fake.xlsx").write_text("no zip")
    assert "found no spreadsheet; save it as .xlsx" in told(shop / "jobs" / "fake.xlsx")
    assert "name a file that exists" in told(shop / "jobs" / "gone.xlsx")


def test_nothing_is_written_over(bench: Path, tmp_path: Path) -> None:
    """Neither by convert nor by start; other endings are refused."""
    for target, words in (
        (bench, "which is there already"),
        (tmp_path / "job.ods", "ends in .toml or .xlsx"),
        (tmp_path / "none" / "job.xlsx", "found no folder"),
    ):
        done = quoting_run("convert", bench, target)
        assert done.returncode == 2
        assert words in done.stderr
    done = quoting_run("start", tmp_path / "job.toml", "--sheet")
    assert "ends in .xlsx" in done.stderr


def test_a_spreadsheet_can_be_issued_and_followed(filled: Path) -> None:
    """The ledger keeps what it said, as a job file; the sheet may change afterwards."""
    folder = filled.parents[1]
    done = quoting_run("issue", filled)
    assert done.returncode in (0, 3), done.stderr
    number = f"{date.today().year}-001"
    assert quoting_run("mark", number, "agreed", "--shop", folder).returncode == 0
    filled.unlink()
    standing = quoting_run("standing", number, "--shop", folder)
    assert standing.returncode == 0, standing.stderr


def test_a_job_file_from_a_spreadsheet_explains_itself(filled: Path) -> None:
    """It has the comments of the starter job, and every field that could be written, once."""
    target = filled.with_name("mine.toml")
    assert quoting_run("convert", filled, target).returncode == 0
    text = target.read_text("utf-8")
    assert "# from staves of the shop's usual width" in text
    assert text.count("#figure = ") == 1
    assert price_of(target)["price"] == price_of(filled)["price"]


def test_a_sheet_offers_what_its_shop_names(shop: Path, tmp_path: Path) -> None:
    """Items of the price file, resins and machines to choose from in a shop's own folder; elsewhere timbers, fibres, metals."""
    for folder, names in ((shop / "jobs", {"prices", "resin", "machine"}), (tmp_path, set())):
        path = folder / "stool.xlsx"
        assert quoting_run("start", "--sheet", path).returncode == 0
        lists = openpyxl.load_workbook(path)["Lists"]
        columns = {str(column[0].value): [cell.value for cell in column[1:]] for column in lists.columns}
        assert set(columns) - {"species", "fibres", "metals"} == names
        assert "red oak" in columns["species"]
        for name in names & {"prices"}:
            assert "red oak 4/4" in columns[name]


def test_what_an_entry_needs_is_marked(filled: Path) -> None:
    """Heads of columns without which an entry says nothing; a sheet whose row of explanations has other marks is read all the same."""
    book = openpyxl.load_workbook(filled)
    sheet = book["hardwood"]
    marked = {
        str(head.value)
        for head, words in zip(sheet[1], sheet[2], strict=True)
        if "NEEDED" in str(words.value)
    }
    assert marked == {"part", "species", "length", "width", "thickness"}
    for cell in sheet[2]:
        cell.value = str(cell.value or "").removeprefix("NEEDED; ").replace("; ", ". ") or None
    book.save(filled)
    assert quoting_run("check", filled).returncode == 0


def test_a_new_sheet_is_empty_and_shows_an_example(shop: Path, bench: Path) -> None:
    """No row is filled that a maker would have to empty; what the last sheet to see says is not read, whatever is done to it."""
    path = shop / "jobs" / "stool.xlsx"
    assert "example" in done_well("start", "--sheet", path)
    assert read_job_book(path).raw == {"format": 1}
    book = openpyxl.load_workbook(path)
    shown = {tuple(cell.value for cell in row) for row in book["Example"].iter_rows(min_row=4, max_col=3)}
    raw = tomllib.loads(bench.read_text("utf-8"))
    assert ("piece", "title", raw["piece"]["title"]) in shown
    assert {("hardwood", "part", one["part"]) for one in raw["hardwood"]} <= shown
    assert book["Example"].sheet_state == "visible"
    book["Example"]["D9"].value = "=1/0"
    title = next(row for row in book["Job"].iter_rows(max_col=3) if row[1].value == "title")
    title[2].value = "Stool"
    book.save(path)
    assert read_job_book(path).raw == {"format": 1, "piece": {"title": "Stool"}}


def test_lists_of_a_large_price_file_are_taken(shop: Path) -> None:
    """Longer than what a maker may fill in: the lists are ours."""
    with (shop / "prices.csv").open("a") as book:
        book.writelines(f"screw {number},each,0.10\n" for number in range(5_100))
    path = shop / "jobs" / "screws.xlsx"
    assert quoting_run("convert", shop / "jobs" / "first-bench.toml", path).returncode == 0
    assert quoting_run("check", path).returncode == 0


def test_whatever_is_offered_can_be_chosen(shop: Path) -> None:
    """Items whose names look like something else are offered as the reader takes them."""
    names = ['"Blue" hinge', "[M6] bolt", "{x} cap", "1/2", "yes", "=sum", "-5"]
    with (shop / "prices.csv").open("a", newline="") as prices:
        csv.writer(prices).writerows([name, "each", "2.50"] for name in names)
    path = shop / "jobs" / "odd.xlsx"
    assert quoting_run("convert", shop / "jobs" / "first-bench.toml", path).returncode == 0
    book = openpyxl.load_workbook(path)
    [column] = [one for one in book["Lists"].columns if one[0].value == "prices"]
    listed = [str(cell.value) for cell in column[1:]]
    meant = {one: tomllib.loads(f"v = {one}")["v"] if one.startswith('"') else one for one in listed}
    sheet = book["buy"]
    heads = {str(cell.value): cell.column for cell in sheet[1]}
    for row, item in enumerate((one for one in listed if meant[one] in names), start=3):
        sheet.cell(row, heads["item"]).value = item
        sheet.cell(row, heads["item"]).data_type = "s"
        sheet.cell(row, heads["quantity"]).value = 1
    book.save(path)
    bought = [one["item"] for one in price_of(path)["lines"] if one["trade"] == "buy"]
    assert sorted(bought) == sorted(names)


def test_a_wrong_shop_is_told_and_the_sheet_is_made_without_it(shop: Path) -> None:
    (shop / "shop.toml").write_text("format = 2\n", "utf-8")
    done = quoting_run("start", "--sheet", shop / "jobs" / "new.xlsx")
    assert done.returncode == 0
    assert "lack what a shop" in done.stderr
    assert (shop / "jobs" / "new.xlsx").is_file()
