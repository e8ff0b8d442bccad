"""A change is priced at the margin of the quote, and the contract is the quote with its agreed changes."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, edited
from end_to_end.ledgers import figures, logged, ran
from pypdf import PdfReader

if TYPE_CHECKING:
    from pathlib import Path

COUNTER = "2026-002"


@pytest.fixture
def longer(book: Path) -> str:
    """The counter front, four inches longer."""
    job = book / "jobs" / "counter_front.toml"
    edited(
        job, 'length = "48 in"\nwidth = "16 in"\nthickness', 'length = "52 in"\nwidth = "16 in"\nthickness'
    )
    return "jobs/counter_front.toml"


def test_a_change_is_only_reckoned_until_it_is_agreed(book: Path, longer: str) -> None:
    before = contents(book)
    told = ran(book, "change", COUNTER, "--job", longer, "--words", "four inches longer")
    assert "Nothing is recorded" in told
    assert contents(book) == before


def test_an_agreed_change_adds_to_the_contract_and_is_the_plan(book: Path, longer: str) -> None:
    before = figures(book, COUNTER)
    ran(book, "change", COUNTER, "--job", longer, "--words", "four inches longer", "--agreed", "2026-09-20")
    after = figures(book, COUNTER)
    entry = logged(book, COUNTER)["entries"][-1]
    assert (entry["kind"], entry["words"]) == ("change", "four inches longer")
    assert Decimal(after["contract"]) == Decimal(before["contract"]) + Decimal(entry["money"])
    assert Decimal(after["planned_cost"]) > Decimal(before["planned_cost"])
    assert "four inches longer" in ran(book, "show", COUNTER)
    ran(book, "log", COUNTER, "void", str(entry["id"]))
    assert figures(book, COUNTER) == before


def test_prices_that_rose_since_do_not_leak_into_a_change(book: Path, longer: str) -> None:
    quoted = ran(book, "change", COUNTER, "--job", longer)
    edited(book / "prices.csv", "flax cloth 300,m2,13.50", "flax cloth 300,m2,99.50")
    edited(book / "shop.toml", "earn_a_year = 58000", "earn_a_year = 99000")
    assert ran(book, "change", COUNTER, "--job", longer) == quoted


def test_a_thing_new_to_the_price_file_may_be_part_of_a_change(book: Path) -> None:
    job = book / "jobs" / "counter_front.toml"
    edited(job, "[delivery]", '[[buy]]\nitem = "brass rail"\nquantity = "2 each"\n\n[delivery]')
    assert "brass rail" in ran(book, "change", COUNTER, "--job", job, status=2)
    with (book / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("brass rail,each,61.00,,,Harl's hardware,2026-09-01,\n")
    assert "its price" in ran(book, "change", COUNTER, "--job", job)


def test_a_price_agreed_otherwise_holds_and_the_maker_s_own_change_is_free(book: Path, longer: str) -> None:
    before = Decimal(figures(book, COUNTER)["contract"])
    words = ("--job", longer, "--words", "longer")
    ran(book, "change", COUNTER, *words, "--agreed", "2026-09-20", "--price", "100")
    assert Decimal(figures(book, COUNTER)["contract"]) == before + 106  # with 6 % tax
    ran(book, "change", COUNTER, *words, "--mine", "--on", "2026-09-21")
    assert Decimal(figures(book, COUNTER)["contract"]) == before + 106
    ran(book, "change", COUNTER, *words, "--agreed", "2026-09-21", "--price", "-50")
    assert Decimal(figures(book, COUNTER)["contract"]) == before + 53


def test_a_resin_new_to_the_shop_may_be_part_of_a_change(book: Path) -> None:
    job = book / "jobs" / "counter_front.toml"
    edited(job, 'resin = "laminating epoxy"', 'resin = "slow epoxy"')
    with (book / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("slow epoxy,L,31.00,,,Salt Creek Composites,2026-09-01,\n")
    assert "slow epoxy" in ran(book, "change", COUNTER, "--job", job, status=2)
    with (book / "shop.toml").open("a", encoding="utf-8") as file:
        file.write('\n[resin."slow epoxy"]\nworking_time = "4 h"\ncure_time = "24 h"\ndensity = "1.1 kg/L"\n')
        file.write('pour_depth = "3 mm"\nmost_in_one_mix = "2 L"\n')
    assert "its price" in ran(book, "change", COUNTER, "--job", job)


def test_a_change_of_the_option_that_was_accepted_is_priced_against_it(samples: Path) -> None:
    """One more felt pad on the console in cherry costs the least charge, not the way back to walnut."""
    shop = samples / "tern_hollow"
    ran(shop, "issue", "jobs/library_console.toml")
    ran(shop, "mark", "2027-001", "agreed", "--option", "in cherry")
    job = shop / "jobs" / "library_console.toml"
    edited(job, "quantity = 8", "quantity = 9")
    told = ran(shop, "change", "2027-001", "--job", job)
    assert "the least charge" in told
    assert "$53.00" in told
    edited(job, 'name = "in cherry"', 'name = "in oak"')
    assert "keep the [[option]]" in ran(shop, "change", "2027-001", "--job", job, status=2)


def test_steps_are_taken_back_from_the_last_one(book: Path, longer: str) -> None:
    """A change or state that others rest on stays until they are taken back; the first came with the number."""
    words = ("--job", longer, "--words", "longer", "--price", "100")
    ran(book, "change", COUNTER, *words, "--agreed", "2026-09-20")
    ran(book, "change", COUNTER, *words, "--agreed", "2026-09-21")
    first, second = (one["id"] for one in logged(book, COUNTER)["entries"] if one["kind"] == "change")
    told = ran(book, "log", COUNTER, "void", str(first), status=2)
    assert f"void {second}" in told
    ran(book, "log", COUNTER, "void", str(second))
    ran(book, "log", COUNTER, "void", str(first))
    states = [one["id"] for one in logged(book, COUNTER)["entries"] if one["kind"] == "state"]
    ran(book, "log", COUNTER, "void", str(states[1]))  # accepted
    assert "mark it withdrawn" in ran(book, "log", COUNTER, "void", str(states[0]), status=2)


def words_of(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_the_paper_of_a_change_says_what_is_agreed_and_no_more(book: Path, longer: str) -> None:
    words = ("--job", longer, "--words", "Four inches <b>longer</b> & wider")
    before = Decimal(figures(book, COUNTER)["contract"])
    ran(book, "change", COUNTER, *words, "--out", "offer")
    offer = words_of(book / "offer" / "2026-002 change 1.pdf")
    ran(book, "change", COUNTER, *words, "--agreed", "2026-09-20")
    agreed = words_of(book / "issued" / "2026-002 change 1.pdf")
    after = Decimal(figures(book, COUNTER)["contract"])
    for text in (offer, agreed):
        assert "Change 1 to quote 2026-002" in text
        assert "Four inches <b>longer</b> & wider" in text
        assert f"${before:,}" in text
        assert text.count(f"${after:,}") == 2
        assert "I agree to this change" in text
        assert not any(word in text.casefold() for word in ("margin", "cost", "hours", "reserve", "draft"))
    assert "September 20, 2026" in agreed


def test_what_is_given_back_is_called_so(book: Path) -> None:
    job = book / "jobs" / "counter_front.toml"
    edited(
        job, 'length = "48 in"\nwidth = "16 in"\nthickness', 'length = "40 in"\nwidth = "16 in"\nthickness'
    )
    ran(book, "change", COUNTER, "--job", job, "--words", "shorter", "--agreed", "2026-09-20")
    assert "This change, given back \u2212$" in words_of(book / "issued" / "2026-002 change 1.pdf")
    assert Decimal(logged(book, COUNTER)["entries"][-1]["money"]) < 0


def test_what_cannot_be_changed_is_told(book: Path, longer: str) -> None:
    told = ran(
        book, "change", "2026-001", "--job", longer, "--agreed", "2026-04-01", "--words", "x", status=2
    )
    assert "after delivery" in told
    assert "both --agreed and --mine" in ran(
        book, "change", COUNTER, "--job", longer, "--agreed", "2026-09-20", "--mine", status=2
    )
    assert "--words" in ran(book, "change", COUNTER, "--job", longer, "--mine", status=2)
    assert "--price" in ran(book, "change", COUNTER, "--job", longer, "--price", "ten", status=2)
    ran(book, "issue", "jobs/ash_bench.toml")
    told = ran(book, "change", "2027-001", "--job", longer, "--mine", "--words", "x", status=2)
    assert "--revises 2027-001" in told
