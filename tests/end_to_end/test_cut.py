"""quoting cut as a maker runs it: words, figures, the drawing for the wall, the rack for the next job, and what is refused."""

from __future__ import annotations

import signal
from decimal import Decimal
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import openpyxl
import pdfplumber
import pytest
from end_to_end.command import ROOT, contents, edited, parsed, price_of, quoting_in_front, quoting_run, worked
from end_to_end.test_deciding import KEYS
from end_to_end.test_golden import CUT, compared

from quoting.documents.pictures.cut import BLANK

if TYPE_CHECKING:
    from pathlib import Path

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def cupboard(samples: Path) -> Path:
    return samples / "tern_hollow" / "jobs" / "boot_cupboard.toml"


def test_the_plan_in_words_is_as_it_was(cupboard: Path) -> None:
    """Renew with QUOTING_RENEW=1 after a wanted change. Nothing is written."""
    before = contents(cupboard.parent)
    done = quoting_run("cut", cupboard.name, "--details", cwd=cupboard.parent)
    assert (done.returncode, done.stderr) == (0, "")
    compared(CUT, done.stdout)
    assert contents(cupboard.parent) == before


def test_the_price_rests_on_the_plan(cupboard: Path) -> None:
    """What each plan charges is what the lines of its item come to, within the rounding of each line; the words say so."""
    plans = parsed(quoting_run("cut", cupboard, "--json").stdout)
    assert list(plans) == KEYS["cut"]["top"]
    for name, deep in (("plans", plans["plans"]), ("shapes", plans["shapes"]), ("rack", plans["rack"])):
        assert deep
        assert all(list(one) == KEYS["cut"][name] for one in deep)
    stocks = [stock for plan in plans["plans"] for stock in plan["stocks"]]
    assert all(list(one) == KEYS["cut"]["stocks"] for one in stocks)
    for name in ("steps", "pieces", "offcuts"):
        assert all(list(one) == KEYS["cut"][name] for stock in stocks for one in stock[name])
    lines = price_of(cupboard)["lines"]
    for plan in plans["plans"]:
        mine = [one for one in lines if one["item"] == plan["item"] and one["trade"] == plan["trade"]]
        charged = sum(Decimal(one["amount"]) for one in mine)
        assert abs(charged - Decimal(plan["charged"])) <= Decimal("0.005") * len(mine)
        assert all("by the cut plan" in one["basis"] for one in mine)
    said = quoting_run("price", cupboard, "--details").stdout
    assert "it is the rectangle that is cut" in " ".join(said.split())


def test_the_drawing_for_the_wall(cupboard: Path, tmp_path: Path) -> None:
    """A page for the yard, then one for every stock that is cut another way, with every blank and every cut; the same in one SVG."""
    done = quoting_run("cut", cupboard, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    plans = parsed(quoting_run("cut", cupboard, "--json").stdout)["plans"]
    stocks = [stock for plan in plans for stock in plan["stocks"]]
    with pdfplumber.open(tmp_path / "boot_cupboard cut plan.pdf") as document:
        pages = [page.extract_text() for page in document.pages]
        for page in document.pages:
            assert all(word["x0"] > 0 and word["x1"] < page.width for word in page.extract_words())
    yard, *pages = pages
    assert len(pages) == len(stocks)
    for head in ("TH-41 Boot cupboard", "To buy", "From the rack", "To glue up", "To keep", "local codes"):
        assert head in yard
    assert all(plan["item"] in yard for plan in plans)
    for page, stock in zip(pages, stocks, strict=True):
        assert f"\n{len(stock['steps'])} " in page
        assert all(piece["part"] in page for piece in stock["pieces"])
    root = ElementTree.parse(tmp_path / "boot_cupboard cut plan.svg").getroot()
    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    assert all(piece["part"] in words for stock in stocks for piece in stock["pieces"])
    again = quoting_run("cut", cupboard, "--out", tmp_path)
    assert again.returncode == 0, again.stderr


def test_the_drawing_is_to_scale(cupboard: Path, tmp_path: Path) -> None:
    """Every blank on the SVG is as long against its board as it is in the shop."""
    assert quoting_run("cut", cupboard, "--out", tmp_path).returncode == 0
    plans = parsed(quoting_run("cut", cupboard, "--json").stdout)["plans"]
    wanted = [
        (piece["length_m"], piece["width_m"])
        for plan in plans
        for stock in plan["stocks"]
        for piece in stock["pieces"]
        if plan["kind"] != "bar"
    ]
    root = ElementTree.parse(tmp_path / "boot_cupboard cut plan.svg").getroot()
    blanks = [
        (float(box.get("width", 0)), float(box.get("height", 0)))
        for box in root.iter(f"{SVG}rect")
        if box.get("fill") == BLANK
    ]
    per_m = blanks[0][0] / wanted[0][0]
    assert len(blanks) >= len(wanted)
    for (long, wide), (length_m, width_m) in zip(blanks, wanted, strict=False):
        assert long == pytest.approx(length_m * per_m, abs=0.02)
        assert wide == pytest.approx(width_m * per_m, abs=0.02)


def test_the_next_job_reads_the_rack(cupboard: Path, tmp_path: Path) -> None:
    """What is kept is written as the next job reads it, and used first there."""
    assert quoting_run("cut", cupboard, "--out", tmp_path).returncode == 0
    rack = (tmp_path / "boot_cupboard rack.csv").read_text("utf-8")
    assert "rack.csv" not in rack
    kept = parsed(quoting_run("cut", cupboard, "--json").stdout)["rack"]
    assert rack.count("\n") == 2 + len(kept)
    (cupboard.parent / "rack.csv").write_text(rack, "utf-8")
    done = quoting_run("cut", cupboard, "--details")
    assert done.returncode == 0, done.stderr
    assert "from the rack (rack.csv line" in done.stdout


def test_the_workbook_shows_the_plan(cupboard: Path, tmp_path: Path) -> None:
    """Every blank stands on its sheet."""
    done = quoting_run("quote", cupboard, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    book = openpyxl.load_workbook(tmp_path / "boot_cupboard breakdown.xlsx")
    cells = [str(cell.value) for row in book["Cuts"].iter_rows() for cell in row if cell.value is not None]
    plans = parsed(quoting_run("cut", cupboard, "--json").stdout)["plans"]
    for part in ("top", "side", "apron", "leg", "back", "rail"):
        many = sum(
            1 for plan in plans for stock in plan["stocks"] for one in stock["pieces"] if one["part"] == part
        )
        assert cells.count(part) == many


def test_an_issued_quote_keeps_its_boards(cupboard: Path) -> None:
    """The yard is sold out and the tally gone: the piece is still planned as it was quoted."""
    shop = cupboard.parents[1]
    done = quoting_run("issue", cupboard)
    assert done.returncode == 0, done.stderr
    (cupboard.parent / "yard.csv").unlink()
    assert quoting_run("mark", "2027-001", "agreed", "--shop", shop).returncode == 0
    standing = quoting_run("standing", "2027-001", "--shop", shop)
    assert standing.returncode == 0, standing.stderr
    assert quoting_run("price", cupboard).returncode == 2
    shown = quoting_run("show", "2027-001", "--shop", shop)
    assert shown.returncode == 0, shown.stderr


def test_an_issued_quote_keeps_boards_of_any_name(cupboard: Path) -> None:
    """A tally in a folder of its own, and one that is called like the price file, are found again as they were."""
    shop, yard = cupboard.parents[1], cupboard.parent / "yard"
    yard.mkdir()
    (cupboard.parent / "yard.csv").rename(yard / "oak and ash.csv")
    (cupboard.parent / "rack.csv").rename(cupboard.parent / "prices.csv")
    edited(cupboard, 'tally = "yard.csv"', 'tally = "./yard/oak and ash.csv"')
    edited(cupboard, 'rack = "rack.csv"', 'rack = "prices.csv"')
    done = quoting_run("issue", cupboard)
    assert done.returncode == 0, done.stderr
    assert quoting_run("mark", "2027-001", "agreed", "--shop", shop).returncode == 0
    standing = quoting_run("standing", "2027-001", "--shop", shop)
    assert (standing.returncode, standing.stderr) == (0, "")
    edited(cupboard, 'rack = "prices.csv"', 'rack = "yard/../yard/oak and ash.csv"')
    assert "found the file of the other" in quoting_run("check", cupboard).stderr


def test_a_tally_needs_no_line_with_its_format(cupboard: Path) -> None:
    """As a spreadsheet writes it; what is wrong in it is told with the line that the spreadsheet shows."""
    yard = cupboard.parent / "yard.csv"
    rows = yard.read_text("utf-8").partition("\n")[2]
    before = price_of(cupboard)["price"]
    yard.write_text(rows, "utf-8")
    assert price_of(cupboard)["price"] == before
    yard.write_text(rows.replace("species,", "wood,"), "utf-8")
    assert "yard.csv:1: header: found wood," in quoting_run("check", cupboard).stderr
    yard.write_text(rows.replace("white ash", "wite ash", 1), "utf-8")
    done = quoting_run("check", cupboard)
    assert (
        'yard.csv:3: wite ash.species: found "wite ash", not in the reference table; write "white ash"'
        in done.stderr
    )


def test_thousands_of_pieces_of_one_stock(cupboard: Path) -> None:
    """A tree of cuts as deep as a sheet has pieces is no fault."""
    tile = '\n[[sheet]]\npart = "tile"\nitem = "birch plywood 6 mm"\nlength = "2 in"\nwidth = "2 in"\nquantity = 2000\nsheet_length = "48 in"\nsheet_width = "48 in"\n'
    pin = '\n[[metal]]\npart = "pin"\nitem = "steel flat 1/4 x 2"\nmetal = "mild steel"\nsection = "1/4 x 2 in"\nlength = "1/32 in"\nkerf = "0 in"\nquantity = 2000\n'
    cupboard.write_text(cupboard.read_text("utf-8") + tile + pin, "utf-8")
    done = quoting_run("cut", cupboard, "--details")
    assert done.returncode == 0, done.stderr
    assert "of tile 2 in x 2 in" in done.stdout
    assert " of pin 1/32 in" in done.stdout


def test_ctrl_c_keeps_the_best_plan(cupboard: Path) -> None:
    """The search would go on for a minute; the first Ctrl-C ends it with a plan, and says that it was ended."""
    run = quoting_in_front("cut", cupboard, "--seconds", "60")
    worked(run, 2.0)
    run.send_signal(signal.SIGINT)
    said, told = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "Traceback" not in told
    assert "white ash 4/4: " in said
    assert "The search was ended early" in " ".join(said.split())


def test_a_time_limit_gives_the_best_plan_and_its_gap(cupboard: Path) -> None:
    """A moment is enough for a plan."""
    done = quoting_run("cut", cupboard, "--seconds", "0.01", "--details")
    assert (done.returncode, done.stderr) == (0, "")
    assert "a better one would save" in done.stdout
    for wrong in ("0", "-3", "inf", "nan"):
        done = quoting_run("cut", cupboard, "--seconds", wrong)
        assert done.returncode == 2
        assert "write a time above zero" in done.stderr


def test_ten_thousand_parts(cupboard: Path) -> None:
    """They are planned, with the terminal short and the gap told."""
    edited(cupboard, 'part = "drawer bottom"\nitem = "birch plywood 6 mm"\nlength = "16 in"\nwidth = "12 in"\nquantity = 2', 'part = "drawer bottom"\nitem = "birch plywood 6 mm"\nlength = "16 in"\nwidth = "12 in"\nquantity = 10000')  # fmt: skip
    done = quoting_run("cut", cupboard, "--details")
    assert (done.returncode, done.stderr) == (0, "")
    assert "drawer bottom" in done.stdout
    assert len(done.stdout) < 60_000


def test_a_job_without_stock_is_told_what_to_write() -> None:
    """Nothing is planned where no board is listed."""
    done = quoting_run("cut", ROOT / "sample_jobs" / "tern_hollow" / "jobs" / "ash_bench.toml")
    assert done.returncode == 2
    assert "write [[board]]" in done.stderr


def test_names_are_text(cupboard: Path, tmp_path: Path) -> None:
    """Marks, formulas and what cannot be seen in a part's name do nothing on paper, in the drawing or on the terminal."""
    edited(cupboard, 'part = "rail"', 'part = "=1+1 <b>rail</b> & \\u202e \\U0001F600"')
    done = quoting_run("cut", cupboard, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "\u202e" not in done.stdout
    ElementTree.parse(tmp_path / "boot_cupboard cut plan.svg")
    with pdfplumber.open(tmp_path / "boot_cupboard cut plan.pdf") as document:
        assert "<b>rail</b>" in document.pages[-1].extract_text()


def test_the_buying_list_names_boards_sheets_and_bars(cupboard: Path, tmp_path: Path) -> None:
    """What the plan buys, by its sizes, on the terminal and on the bench's sheet; what lies on the rack is told from it."""
    plans = parsed(quoting_run("cut", cupboard, "--json").stdout)["plans"]
    said = " ".join(quoting_run("price", cupboard, "--details").stdout.split())
    assert "white ash 8/4: 7 bd ft (1 board 72 in x 7 in by the cut plan)" in said
    assert "plywood 6 mm: 1 each (1 sheet 48 in x 48 in by the cut plan)" in said
    assert "steel flat 1/4 x 2: 1 each (1 bar 120 in by the cut plan)" in said
    ash = next(plan for plan in plans if plan["item"] == "white ash 4/4")
    bought = sum(one["number"] for one in ash["stocks"] if one["supplied"] == "bought")
    assert f"white ash 4/4: 11.5 bd ft ({bought} boards 96 in x 5 3/4 in by" in said
    assert quoting_run("quote", cupboard, "--out", tmp_path).returncode == 0
    [sheet] = tmp_path.glob("*maker sheet.pdf")
    with pdfplumber.open(sheet) as pages:
        bench = " ".join(pages.pages[0].extract_text().split())
    assert f"white ash 4/4: {bought} boards" in bench
    assert "0.642 bd ft (rack), white ash 4/4" in bench


def test_every_line_of_the_buying_list_names_its_own_stock(cupboard: Path) -> None:
    """Sheets of the price file and sheets at a price of their own are two lines; those that are bought ready are in no plan."""
    edited(cupboard, "[piece]", '[[buy]]\nitem = "birch plywood 6 mm"\nquantity = 2\n\n[piece]')
    said = " ".join(quoting_run("price", cupboard, "--details").stdout.split())
    assert "birch plywood 6 mm: 2 sheet (2 x 1 sheet) from" in said
    assert said.count("1 sheet 48 in x 48 in by the cut plan") == 1
