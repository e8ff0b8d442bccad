"""A quote that is issued gets a number, is kept with all that it rests on, and never changes."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, edited, parsed, quoting_run
from end_to_end.ledgers import ran
from pypdf import PdfReader

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def shop(samples: Path) -> Path:
    """The sample shop, without a ledger, its bench dated in the past."""
    folder = samples / "tern_hollow"
    edited(folder / "jobs" / "ash_bench.toml", "2027-02-01", "2026-03-02")
    return folder


def words_of(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def test_numbers_run_by_year_without_gaps(shop: Path) -> None:
    assert "issued 2026-001" in ran(shop, "issue", "jobs/ash_bench.toml")
    assert "issued 2027-001" in ran(shop, "issue", "jobs/flax_screen.toml")
    assert "issued 2026-002" in ran(shop, "issue", "jobs/lectern.toml")
    ran(shop, "issue", "jobs/no_such.toml", status=2)
    assert "issued 2026-003" in ran(shop, "issue", "jobs/ash_bench.toml", "--again")


def test_the_number_stands_on_every_paper(shop: Path) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    quote = words_of(shop / "issued" / "2026-001 ash_bench quote.pdf")
    assert "No. 2026-001" in quote
    assert "Draft" not in quote
    assert "No. 2026-001, dated March 2, 2026" in quote.replace("\n", " ")
    assert "2026-001" in words_of(shop / "issued" / "2026-001 ash_bench maker sheet.pdf")


def test_an_issued_quote_is_shown_as_it_was_whatever_happens_to_the_files(shop: Path, tmp_path: Path) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    before = quoting_run("show", "2026-001", cwd=shop).stdout
    data = parsed(quoting_run("show", "2026-001", "--json", cwd=shop).stdout)
    issued = contents(shop / "issued")
    edited(shop / "shop.toml", "earn_a_year = 58000", "earn_a_year = 99000")
    edited(shop / "prices.csv", "white ash 5/4,bd ft,5.50", "white ash 5/4,bd ft,55.0")
    (shop / "jobs" / "ash_bench.toml").unlink()
    assert quoting_run("show", "2026-001", cwd=shop).stdout == before
    assert parsed(quoting_run("show", "2026-001", "--json", cwd=shop).stdout) == data
    ran(shop, "show", "2026-001", "--out", tmp_path / "again")
    again = contents(tmp_path / "again")
    assert {name: again[name] for name in issued if name.endswith(("pdf", "xlsx"))} == {
        name: data for name, data in issued.items() if name.endswith(("pdf", "xlsx"))
    }
    assert data["number"] == "2026-001"


def test_the_same_job_is_not_issued_twice_by_a_slip(shop: Path) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    told = ran(shop, "issue", "jobs/ash_bench.toml", status=2)
    assert "issued as 2026-001" in told
    assert "--revises 2026-001, or --again" in told


def test_a_revision_takes_the_place_of_the_quote(shop: Path) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    job = shop / "jobs" / "ash_bench.toml"
    edited(job, 'title = "Ash hall bench"', 'title = "Ash hall bench, longer"')
    assert "issued 2026-001b" in ran(shop, "issue", job, "--revises", "2026-001")
    quote = words_of(shop / "issued" / "2026-001b ash_bench quote.pdf")
    assert re.search(r"Replaces\s+2026-001\b", quote)
    ran(shop, "mark", "2026-001b", "agreed", "--on", "2026-03-09")
    assert "longer" in ran(shop, "pieces")
    edited(job, "longer", "longer still")
    told = ran(shop, "issue", job, "--revises", "2026-001", status=2)
    assert "quoting change 2026-001 --job JOB" in told


def test_the_client_may_accept_the_first_quote_after_all(shop: Path) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    job = shop / "jobs" / "ash_bench.toml"
    edited(job, 'title = "Ash hall bench"', 'title = "Ash hall bench, longer"')
    ran(shop, "issue", job, "--revises", "2026-001")
    ran(shop, "mark", "2026-001", "agreed", "--on", "2026-03-09")
    listed = ran(shop, "pieces")
    assert "2026-001 Ash hall bench, agreed" in listed
    assert "longer" not in listed
    assert "not the one that holds: 2026-001 does" in ran(shop, "show", "2026-001b")


def test_a_job_that_is_wrong_takes_no_number(shop: Path) -> None:
    edited(shop / "jobs" / "ash_bench.toml", 'species = "white ash"', 'species = "wite ash"')
    ran(shop, "issue", "jobs/ash_bench.toml", status=2)
    assert not (shop / "ledger.sqlite").exists()
    assert not (shop / "issued").exists()


def test_files_that_cannot_be_written_do_not_undo_the_quote(shop: Path) -> None:
    (shop / "issued").write_text("in the way", encoding="utf-8")
    told = ran(shop, "issue", "jobs/ash_bench.toml", status=2)
    assert "2026-001 is issued and safe in the ledger" in told
    assert "nothing was written" not in told
    assert "wrote" in ran(shop, "show", "2026-001", "--out", shop / "elsewhere")


def test_an_option_that_was_chosen_is_the_contract_and_the_plan(samples: Path) -> None:
    shop = samples / "tern_hollow"
    ran(shop, "issue", "jobs/library_console.toml")
    option = parsed(quoting_run("price", "jobs/library_console.toml", "--json", cwd=shop).stdout)["options"][
        0
    ]
    told = ran(shop, "mark", "2027-001", "agreed", "--option", "no such", status=2)
    assert option["name"] in told
    ran(shop, "mark", "2027-001", "agreed", "--option", option["name"])
    rows = parsed(quoting_run("pieces", "--json", cwd=shop).stdout)["pieces"]
    assert [row["contract"] for row in rows] == [option["total"]]


def test_a_price_below_the_floor_is_issued_and_says_so(shop: Path) -> None:
    edited(shop / "jobs" / "ash_bench.toml", "[quote]", '[price]\nmargin = "2 %"\n\n[quote]')
    assert "issued 2026-001" in ran(shop, "issue", "jobs/ash_bench.toml", status=3)


@pytest.mark.parametrize(
    "number", ["2026-002", "2026-001c", "14", "", "../2026-001", "2026-001'; DROP TABLE quote"]
)
def test_a_number_that_is_not_there_is_told_with_what_to_write(shop: Path, number: str) -> None:
    ran(shop, "issue", "jobs/ash_bench.toml")
    assert "write" in ran(shop, "show", number, status=2)
    assert "write" in ran(shop, "mark", number, "agreed", status=2)


def test_without_a_ledger_or_a_shop_the_way_is_told(shop: Path, tmp_path: Path) -> None:
    assert "quoting issue JOB" in ran(shop, "pieces", status=2)
    assert "--shop FOLDER" in ran(tmp_path, "pieces", status=2)
