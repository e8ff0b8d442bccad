"""A trade of another package: priced, drawn, issued, logged and reviewed as the house's own; its quotes outlive it."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import openpyxl
import pypdf
import pytest
from documents.programs import PROGRAMS
from documents.workbooks import cell_of
from trades.packages import OUTSIDE, ROOT, Done, commands, cord_seats

STOOL = """format = 1
[piece]
title = "Stool with a woven seat"
[client]
name = "Ines Okafor"
[delivery]
collect = true
[[hardwood]]
part = "leg"
species = "red oak"
length = "17 in"
width = "1 1/2 in"
thickness = "1 1/2 in"
quantity = 4
"""
SEAT = """[[cord]]
part = "seat"
length = "16 in"
width = "15 in"
cord = "rush cord"
"""
BACK = """[[cord]]
part = "back"
length = "16 in"
width = "5 in"
cord = "rush cord"
supplied = "rack"
[[option]]
name = "Wide"
words = "a wider seat"
set = { "cord.seat.width" = "18 in" }
"""
SHARED = """
[standard.weaving]
per = "woven m2"
time = "9 .. 11 .. 14 h"
setup = "30 min"
setup_per = "item"
applies_to = ["cord"]
[standard.combing]
per = "piece"
time = "10 min"
applies_to = ["cord"]
"""
ROW = "rush cord,m,0.85,150,1 week,rope walk,2027-01-11,\n"
WOVEN, PLAIN = f"{date.today().year}-001", f"{date.today().year}-002"
AREA_M2 = 16 * 15 * 0.0254**2
CORD_M = (
    AREA_M2 / 0.004 * 2 * 1.08
)  # two layers of 4 mm strands, and 8 % of knots and ends: [cord] of its shop.toml
WEAVING_H = AREA_M2 * 13  # 13 h to the m2: its standard.toml

BOOK = (
    ("issue", "jobs/stool.toml"),
    ("issue", "jobs/plain.toml"),
    *(("mark", number, "agreed") for number in (WOVEN, PLAIN)),
    ("log", WOVEN, "hours", "3", "weaving"),
    ("log", WOVEN, "used", "80 m", "rush cord"),
    ("log", PLAIN, "hours", "1", "sanding"),
)
ALIKE = (
    ("show", WOVEN),
    ("show", WOVEN, "--json"),
    ("pieces", "--all"),
    ("log", WOVEN, "--show"),
    ("show", PLAIN),
    ("standing", PLAIN),
)
"""What is the same whether the trade is there or gone, before the pieces are built."""
REVIEWS = (("review", WOVEN), ("review", WOVEN, "--json"), ("review", PLAIN))


class Shop(NamedTuple):
    """A shop with a ledger, the folder of the package, and what commands said while it was there: of the book, then of both sets."""

    folder: Path
    site: Path
    said: dict[tuple[str, ...], Done]


def shop_in(folder: Path) -> Path:
    (folder / "jobs").mkdir(parents=True)
    for name in ("shop.toml", "prices.csv"):
        shutil.copy(ROOT / "templates" / name, folder / name)
    with (folder / "prices.csv").open("a", encoding="utf-8") as prices:
        prices.write(ROW)
    (folder / "jobs" / "stool.toml").write_text(STOOL + SEAT, "utf-8")
    (folder / "jobs" / "plain.toml").write_text(STOOL.replace(" with a woven seat", ""), "utf-8")
    return folder


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """Everything that is asked while the package is there, in one process; not to be changed."""
    folder = tmp_path_factory.mktemp("outside")
    site, made = cord_seats(folder / "site"), shop_in(folder / "shop")
    rows = (
        ("price", "jobs/stool.toml", "--json"),
        ("price", "jobs/stool.toml", "--set", "cord.seat.waste=30 %", "--json"),
        ("price", "jobs/stool.toml", "--set", "cord.waste=30 %", "--json"),
        ("price", "jobs/plain.toml", "--json"),
        ("price", "jobs/plain.toml"),
        ("check", "jobs/stool.toml", "--set", "cord.seat.width=3 mm"),
        ("compare", "jobs/stool.toml", "--or", "cord.seat.waste=30 %", "--details"),
        ("quote", "jobs/stool.toml", "--out", "drafts"),
        *BOOK,
        *ALIKE,
        ("standing", WOVEN),
        ("mark", WOVEN, "built"),
        ("mark", PLAIN, "built"),
        *REVIEWS,
        ("explain", "cord"),
        ("explain", "strand"),
        ("explain", "danish cord"),
        ("start", "new"),
    )
    return Shop(made, site, dict(zip(rows, commands(made, rows, site), strict=True)))


@pytest.fixture(scope="module")
def gone(shop: Shop, tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """The same in a process without the package, on a copy of the shop as it was when the pieces were built."""
    folder = tmp_path_factory.mktemp("gone") / "shop"
    shutil.copytree(shop.folder, folder)
    rows = (
        ("price", "jobs/stool.toml"),
        ("price", "jobs/plain.toml", "--json"),
        ("price", "jobs/plain.toml"),
        *REVIEWS,
        ("review",),
        ("learn",),
        ("show", WOVEN, "--out", "again", "--xml"),
        ("ledger", "export", "all"),
    )
    return Shop(folder, shop.site, dict(zip(rows, commands(folder, rows), strict=True)))


def lines(done: Done) -> dict[str, dict[str, Any]]:
    assert done.status == 0, done.err
    return {line["id"]: line for line in json.loads(done.out)["lines"]}


# --- while it is there


def test_all_commands_end_well(shop: Shop) -> None:
    wrong = {row: done.err for row, done in shop.said.items() if done.status != 0}
    assert [row[0] for row in wrong] == ["check"]


def test_it_is_priced_by_its_own_equations_and_starter_values(shop: Shop) -> None:
    answer = json.loads(shop.said["price", "jobs/stool.toml", "--json"].out)
    found = {line["id"]: line for line in answer["lines"]}
    assert found["cord.seat.cord"]["quantity"] == pytest.approx(CORD_M)
    assert found["cord.seat.weaving"]["quantity"] == pytest.approx(WEAVING_H)
    assert answer["cost"]["cord"] == f"{CORD_M * 0.85:.2f}"
    assert answer["quantities"]["cord_m"] == pytest.approx(CORD_M)
    assert answer["starter_values"]["cord"] == 4


@pytest.mark.parametrize("path", ["cord.seat.waste", "cord.waste"])
def test_its_inputs_can_be_set(shop: Shop, path: str) -> None:
    found = lines(shop.said["price", "jobs/stool.toml", "--set", f"{path}=30 %", "--json"])
    assert found["cord.seat.cord"]["quantity"] == pytest.approx(CORD_M / 1.08 * 1.3)


def test_its_problems_are_told_with_what_to_write(shop: Shop) -> None:
    done = shop.said["check", "jobs/stool.toml", "--set", "cord.seat.width=3 mm"]
    assert done.status == 2
    assert "cord.seat.width: found 3 mm, less than a strand of 4 mm; write the width of the seat." in done.err


def test_versions_are_compared_by_its_facts(shop: Shop) -> None:
    said = shop.said["compare", "jobs/stool.toml", "--or", "cord.seat.waste=30 %", "--details"].out
    assert [row for row in said.splitlines() if row.split()[:1] == ["cord"]]


@pytest.mark.parametrize("program", PROGRAMS)
def test_its_workbook_is_live(shop: Shop, tmp_path: Path, program: str) -> None:
    """Its own input turned in its own sheet moves the price as the command does; other programs reckon both alike."""
    path = shop.folder / "drafts" / "stool breakdown.xlsx"
    book = openpyxl.load_workbook(path)
    sheet = book["Cord"]
    (row,) = (
        row for row in range(1, sheet.max_row + 1) if str(sheet[f"H{row}"].value).startswith("cord.waste ")
    )
    assert sheet[f"B{row}"].value == pytest.approx(0.08)
    sheet[f"B{row}"].value = 0.3
    book.save(tmp_path / "turned.xlsx")
    books = {"as it is": path.read_bytes(), "turned": (tmp_path / "turned.xlsx").read_bytes()}
    found = PROGRAMS[program](tmp_path / "reckoned", books)
    plain = json.loads(shop.said["price", "jobs/stool.toml", "--json"].out)
    more = json.loads(shop.said["price", "jobs/stool.toml", "--set", "cord.waste=30 %", "--json"].out)
    for name, answer in (("as it is", plain), ("turned", more)):
        assert cell_of(found[name], "total_price").value == pytest.approx(float(answer["price"]["total"]))
        assert cell_of(found[name], "cost_cord").value == pytest.approx(float(answer["cost"]["cord"]))


def test_its_quote_tells_the_client_what_it_is_made_of(shop: Shop) -> None:
    words = " ".join(
        page.extract_text() for page in pypdf.PdfReader(shop.folder / "drafts" / "stool quote.pdf").pages
    )
    assert "Rush cord: seat" in words


def test_what_is_logged_finds_its_lines(shop: Shop) -> None:
    said = shop.said["log", WOVEN, "--show"].out
    assert "cord.seat.weaving" in said
    assert "cord.seat.cord" in said


def test_jobs_without_it_are_priced_as_if_it_were_not_there(shop: Shop, gone: Shop) -> None:
    for row in (("price", "jobs/plain.toml", "--json"), ("price", "jobs/plain.toml")):
        assert shop.said[row] == gone.said[row]


# --- when it is gone


def test_a_new_price_needs_it(gone: Shop) -> None:
    done = gone.said["price", "jobs/stool.toml"]
    assert done.status == 2
    assert "stool.toml:15: cord: found a section that does not exist here" in done.err


@pytest.mark.parametrize("row", REVIEWS, ids=" ".join)
def test_reviews_are_the_same_line_for_line(shop: Shop, gone: Shop, row: tuple[str, ...]) -> None:
    assert gone.said[row] == shop.said[row]


def test_nothing_is_learnt_from_its_pieces_and_that_is_said(gone: Shop) -> None:
    words = f"{WOVEN}: cord-seats 0.1 is not installed, nothing is learnt from it"
    for row in (("review",), ("learn",)):
        assert gone.said[row].status == 0
        assert words in gone.said[row].out
        assert "could not be read" not in gone.said[row].out
    assert "What 1 finished piece teaches" in gone.said["learn",].out


def test_its_papers_are_written_again_as_they_were(shop: Shop, gone: Shop) -> None:
    assert gone.said["show", WOVEN, "--out", "again", "--xml"].status == 0
    papers = sorted((shop.folder / "issued").glob(f"{WOVEN}*"))
    assert len(papers) == 3
    for paper in papers:
        assert (gone.folder / "again" / paper.name).read_bytes() == paper.read_bytes()
    (electronic,) = (gone.folder / "again").glob("*.xml")
    assert "Rush cord: seat" in electronic.read_text(encoding="utf-8")


def test_the_ledger_is_exported(gone: Shop) -> None:
    done = gone.said["ledger", "export", "all"]
    assert done.status == 0, done.err


def test_while_it_is_built_its_lines_stand_as_they_were_quoted(shop: Shop, tmp_path: Path) -> None:
    """A ledger whose pieces are in their build; what a process with the package says of them is what one without it says."""
    folder = shop_in(tmp_path / "shop")
    (folder / "shop.toml").write_text(
        (folder / "shop.toml").read_text("utf-8")
        + '\n[cord]\nstrand = "5 mm"\n\n[standard.weaving]\nper = "woven m2"\ntime = "11 h"\napplies_to = ["cord"]\n',
        "utf-8",
    )
    with_it = commands(folder, [*BOOK, *ALIKE], shop.site)
    assert [done.err for done in with_it if done.status] == []
    rows = (
        *ALIKE,
        ("standing", WOVEN),
        ("log", WOVEN, "hours", "1", "weaving"),
        ("change", WOVEN, "--job", "jobs/stool.toml"),
        ("change", WOVEN, "--job", "jobs/plain.toml", "--mine", "--words", "no seat"),
        ("standing", WOVEN),
    )
    without = commands(folder, rows)
    assert without[: len(ALIKE)] == with_it[len(BOOK) :]
    standing, log, same, less, after = without[len(ALIKE) :]
    assert standing.status == 0, standing.err
    words = " ".join(standing.out.split())
    assert (
        "cord-seats 0.1 is not installed: what is still to come of its trade stands as it was quoted" in words
    )
    assert "cord.seat.weaving" in log.out
    assert same.status == 2
    assert (
        "found a trade of cord-seats 0.1, which is not installed any more; install cord-seats 0.1."
        in same.err
    )
    assert (less.status, less.err) == (0, "")
    assert after.status == 0, after.err  # the shop file of its quote still names the trade
    assert "cord-seats" not in after.out


def test_reviews_are_the_same_where_lines_are_shared_too(shop: Shop, tmp_path: Path) -> None:
    """Whole packs, set-ups by item, work by the piece, several pieces alike, a slow pace, an option and a part that is given."""
    folder = shop_in(tmp_path / "shop")
    text = (folder / "shop.toml").read_text("utf-8")
    for line, instead in (
        ("#charge_packs = []", 'charge_packs = ["rush cord"]'),
        ('#factor = "0.9', 'factor = "1.1 .. 1.2 .. 1.4" # "0.9'),
    ):
        assert line in text
        text = text.replace(line, instead, 1)
    (folder / "shop.toml").write_text(text + SHARED, "utf-8")
    job = (STOOL + SEAT + BACK).replace("[client]", "quantity = 3\n[client]")
    (folder / "jobs" / "stool.toml").write_text(job, "utf-8")
    review = ("review", WOVEN)
    rows = (
        ("issue", "jobs/stool.toml"),
        ("mark", WOVEN, "agreed", "--option", "Wide"),
        ("log", WOVEN, "hours", "9", "weaving"),
        ("mark", WOVEN, "built"),
        ("show", WOVEN, "--json"),
        review,
    )
    done = commands(folder, rows, shop.site)
    assert [one.err for one in done if one.status] == []
    assert {"cord.rush-cord.packs", "standard.weaving-setup.hours", "standard.combing.hours"} <= set(lines(done[-2]))  # fmt: skip
    assert commands(folder, [review]) == done[-1:]


@pytest.mark.exhaustive
def test_an_installer_makes_it_known(tmp_path: Path, shop: Shop) -> None:
    """pip, without a network, from a wheel (PEP 427) into an environment of its own."""
    site = cord_seats(tmp_path / "site")
    told = next(site.glob("*.dist-info"))
    (told / "WHEEL").write_text(
        "Wheel-Version: 1.0\nGenerator: by hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n", "utf-8"
    )
    files = [path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()]
    (told / "RECORD").write_text("".join(f"{one},,\n" for one in [*files, f"{told.name}/RECORD"]), "utf-8")
    wheel = tmp_path / "cord_seats-0.1-py3-none-any.whl"
    Path(shutil.make_archive(str(tmp_path / "packed"), "zip", site)).rename(wheel)
    subprocess.run([sys.executable, "-m", "venv", tmp_path / "own"], check=True, capture_output=True)
    python = tmp_path / "own" / "bin" / "python"
    subprocess.run(
        [python, "-m", "pip", "install", "--no-index", "--no-deps", wheel], check=True, capture_output=True
    )
    (installed,) = (tmp_path / "own").glob("lib/*/site-packages")
    row = ("price", "jobs/stool.toml", "--json")
    assert commands(shop.folder, [row], installed) == [shop.said[row]]


def test_its_words_are_explained(shop: Shop) -> None:
    """Page with its equation and sections, a term, and what others call it: words.toml and the comments of its fragments."""
    page = " ".join(shop.said["explain", "cord"].out.split())
    assert "Seats woven of cord: how much of it, and how long weaving takes" in page
    assert "area / strand x layers x (1 + waste)" in page
    assert "how often a seat is covered: above and below" in page
    assert "one cord as it lies in a woven seat" in shop.said["explain", "strand"].out
    assert shop.said["explain", "danish cord"].out == shop.said["explain", "cord"].out


def test_a_new_shop_holds_its_rows(shop: Shop) -> None:
    jobs, made = (shop.folder / "new" / one for one in ("jobs/first-bench.toml", "shop.toml"))
    folder = OUTSIDE / "cord_seats"
    assert (folder / "job.toml").read_text("utf-8") in jobs.read_text("utf-8")
    for file in ("shop.toml", "standard.toml"):
        assert (folder / file).read_text("utf-8") in made.read_text("utf-8")


def test_a_package_that_changed_its_records_closes_no_ledger(shop: Shop, tmp_path: Path) -> None:
    """Quotes are shown as they were issued; a new price asks for the field that came new."""
    shutil.copytree(shop.folder, folder := tmp_path / "shop")
    site = cord_seats(tmp_path / "site")
    record = site / "cord_seats" / "record.py"
    text = record.read_text("utf-8")
    assert "    cord: Word\n" in text
    record.write_text(text.replace("    cord: Word\n", "    cord: Word\n    colour: Word\n"), "utf-8")
    rows = (
        ("show", WOVEN),
        ("show", WOVEN, "--json"),
        ("pieces", "--all"),
        ("price", "jobs/stool.toml"),
        ("learn",),
    )
    found = dict(zip(rows, commands(folder, rows, site), strict=True))
    assert {row: done.err for row, done in found.items() if done.status} == {
        ("price", "jobs/stool.toml"): found["price", "jobs/stool.toml"].err
    }
    assert "cord.seat.colour: found nothing" in found["price", "jobs/stool.toml"].err
    assert WOVEN in found["pieces", "--all"].out
    then, now = (json.loads(said["show", WOVEN, "--json"].out) for said in (shop.said, found))
    assert now == then


def test_rows_of_the_shop_file_that_only_it_reads_lock_no_ledger(shop: Shop, tmp_path: Path) -> None:
    """Reviews leave them aside; a new price tells them, with the line."""
    shutil.copytree(shop.folder, folder := tmp_path / "shop")
    text = (folder / "shop.toml").read_text("utf-8")
    rows = '\n[cord]\nstrand = "5 mm"\n\n[standard.weaving]\nper = "woven m2"\ntime = "11 h"\napplies_to = ["cord"]\n'
    (folder / "shop.toml").write_text(text + rows, "utf-8")
    asked = (("learn",), ("review",), ("sell", PLAIN), ("price", "jobs/plain.toml"))
    *books, price = commands(folder, asked)
    assert [(done.status, done.err) for done in books] == [(0, "")] * 3
    assert price.status == 2
    assert f"shop.toml:{text.count(chr(10)) + 2}: cord: found a trade of cord-seats 0.1, which is not installed any more" in price.err  # fmt: skip


def test_a_section_of_another_name_and_a_note_that_is_left_out_lock_no_ledger(tmp_path: Path) -> None:
    """What the trade called otherwise than itself is left aside as well, and a note is not asked for that nobody brings."""
    site, folder = cord_seats(tmp_path / "site"), shop_in(tmp_path / "shop")
    for file, old, new in (
        ("__init__.py", 'Section("cord"', 'Section("cordage"'),
        ("shop.toml", "[cord]", "[cordage]"),
        ("words.toml", "[headings]", '[safety]\ncord = "Mind the ends of the cord."\n\n[headings]'),
    ):
        path = site / "cord_seats" / file
        assert old in path.read_text("utf-8")
        path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")
    (folder / "shop.toml").write_text(
        (folder / "shop.toml").read_text("utf-8") + '\n[cordage]\nstrand = "5 mm"\n', "utf-8"
    )
    job = (STOOL + SEAT).replace("[client]", '[quote]\nleave_out = ["cord"]\n[client]')
    (folder / "jobs" / "stool.toml").write_text(job, "utf-8")
    made = commands(folder, [BOOK[0], ("mark", WOVEN, "agreed"), ("mark", WOVEN, "built")], site)
    assert [done.err for done in made if done.status] == []
    found = commands(folder, [("review", WOVEN), ("review",), ("learn",)])
    assert [(done.status, done.err) for done in found] == [(0, "")] * 3
