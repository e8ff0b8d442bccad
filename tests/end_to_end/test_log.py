"""What happened is logged, listed, taken back; a file of rows goes in whole or not at all."""

from __future__ import annotations

import tomllib
from datetime import date
from typing import TYPE_CHECKING

from end_to_end.command import ROOT, contents, environment, parsed, quoting_run
from end_to_end.ledgers import figures, logged, ran

from quoting.ledger import entries, quotes
from quoting.ledger.entries import Entry
from quoting.ledger.store import writing
from quoting.logbook.day_sheet import rows_of

if TYPE_CHECKING:
    from pathlib import Path

KEYS = tomllib.loads((ROOT / "quoting" / "reference" / "json_keys.toml").read_text("utf-8"))
LECTERN, COUNTER = "2026-001", "2026-002"


def test_the_sample_holds_a_piece_that_lost_money_and_one_in_its_build(booked: Path) -> None:
    lectern, counter = figures(booked, LECTERN), figures(booked, COUNTER)
    assert lectern["state"] == "agreed, delivered"
    assert float(lectern["expected_margin_amount"]) < 0
    assert counter["state"] == "agreed"
    assert 0 < float(counter["cost_so_far"]) < float(counter["planned_cost"])
    assert float(counter["still_to_spend"]) > 0


def test_keys_of_json_are_those_of_the_schema(booked: Path) -> None:
    pieces = parsed(quoting_run("pieces", "--all", "--json", cwd=booked).stdout)
    assert list(pieces) == KEYS["pieces"]["top"]
    assert all(list(row) == KEYS["pieces"]["pieces"] for row in pieces["pieces"])
    log = logged(booked, LECTERN)
    assert list(log) == KEYS["log"]["top"]
    assert list(log["piece"]) == KEYS["pieces"]["pieces"]
    for name in ("entries", "lines"):
        assert log[name]
        assert all(list(row) == KEYS["log"][name] for row in log[name])


def test_an_entry_changes_the_figures_and_taking_it_back_restores_them(book: Path) -> None:
    before = logged(book, COUNTER)
    for words in (
        ("hours", "2 1/2 h", "--task", "assembly"),
        ("used", "0.4 L hard wax oil"),
        ("paid", "31.50", "--for", "hard wax oil", "--quantity", "0.75 L", "--receipt", "H-31"),
        ("setback", "the panel bowed", "--hours", "3 h", "--cost", "12"),
        ("received", "100"),
        ("done", "--stage", "office"),
        ("trip", "20 mi", "--hours", "1 h"),
    ):
        earlier = logged(book, COUNTER)
        ran(book, "log", COUNTER, *words)
        later = logged(book, COUNTER)
        assert later["piece"] != earlier["piece"]
        ran(book, "log", COUNTER, "void", str(later["entries"][-1]["id"]), "--words", "a slip")
        after = logged(book, COUNTER)
        assert (after["piece"], after["lines"]) == (earlier["piece"], earlier["lines"])
    after = logged(book, COUNTER)
    assert (after["piece"], after["lines"]) == (before["piece"], before["lines"])
    assert len(after["entries"]) == len(before["entries"]) + 14  # nothing is gone


def test_an_entry_is_put_right_in_one_breath(book: Path) -> None:
    ran(book, "log", COUNTER, "hours", "2 h", "--task", "assembly")
    wrong = logged(book, COUNTER)["entries"][-1]["id"]
    told = ran(book, "log", COUNTER, "hours", "3 h", "--task", "assembly", "--instead-of", str(wrong))
    assert f"takes back {wrong}" in told
    line = next(one for one in logged(book, COUNTER)["lines"] if one["id"] == "standard.assembly.hours")
    assert line["quantity"] == 3
    assert "was taken back already" in ran(book, "log", COUNTER, "void", str(wrong), status=2)
    assert "found no entry 1" in ran(
        book, "log", COUNTER, "void", "1", status=2
    )  # that one is another piece's


def test_a_refused_entry_writes_nothing(book: Path) -> None:
    before = contents(book)
    told = ran(book, "log", COUNTER, "hours", "3 L", "--task", "assembley", "--instead-of", "70", status=2)
    assert 'write "assembly"' in told
    assert contents(book) == before


def test_a_file_goes_in_whole_or_not_at_all(book: Path) -> None:
    sheet = book / "sheet.csv"
    rows = [
        "date,piece,stage,hours,used,spoiled,note",
        f"2026-09-21,{COUNTER},bench,2,,,",
        f"2026-09-21,{COUNTER},bensh,2,,,",
    ]
    rows += [
        f",{COUNTER},bench,2,,,",
        f"2026-09-22,{COUNTER},bench,30,1 kg laminating epoxy,,",
        "2026-09-22,2026-009,bench,1,,,",
    ]
    sheet.write_text("\n".join(rows), encoding="utf-8")
    before = contents(book)
    told = ran(book, "log", "--csv", "sheet.csv", status=2)
    for words in (
        "sheet.csv:3: stage",
        "sheet.csv:4: row: found no date",
        "sheet.csv:5: hours",
        "sheet.csv:5: quantity",
        "sheet.csv:6: found no quote 2026-009",
    ):
        assert words in told
    assert contents(book) == before


def test_the_same_file_twice_adds_nothing_twice(book: Path) -> None:
    sheet = book / "sheet.csv"
    rows = [
        "date,piece,stage,hours,used,spoiled,note",
        f"2026-09-21,{COUNTER},bench,2,0.2 L laminating epoxy,,",
    ]
    rows += ["2026-09-21,shop,sharpening,1,,,"] * 2
    sheet.write_text("\n".join(rows), encoding="utf-8")
    assert "4 entries added" in ran(book, "log", "--csv", "sheet.csv")
    before = contents(book)
    told = ran(book, "log", "--csv", "sheet.csv")
    assert "0 entries added" in told
    assert "rows 2, 3, 4 are in the ledger already" in told
    assert contents(book) == before
    sheet.rename(book / "phone.csv")
    (book / "phone.csv").write_text("\n".join([*rows, rows[-1]]), encoding="utf-8")
    told = ran(book, "log", "--csv", "phone.csv")
    assert "1 entry added" in told
    assert "they came from sheet.csv" in told


def test_rows_that_an_earlier_version_took_in_are_known(book: Path) -> None:
    """It kept numbers as they were written."""
    sheet = f"date,piece,stage,hours\n2026-09-21,{COUNTER},bench,2.50\n2026-09-21,{COUNTER},bench,2.5\n"
    (book / "sheet.csv").write_text(sheet, encoding="utf-8")
    first = rows_of(sheet, "", [])[0]
    with writing(book, lambda: None) as ledger:
        piece = quotes.asked(ledger, COUNTER).piece_id
        kept = Entry(
            kind="hours", day=date(2026, 9, 21), piece=piece, amount=2.5, row_key=f"{first.former}:0"
        )
        entries.add(ledger, kept)
    told = ran(book, "log", "--csv", "sheet.csv")
    assert "1 entry added" in told
    assert "rows 2 are in the ledger already" in told


def test_unbilled_hours_and_bills_go_to_the_shop(book: Path) -> None:
    ran(book, "log", "shop", "hours", "2 h", "--task", "sharpening", "--on", "2026-09-01")
    ran(book, "log", "shop", "paid", "800", "--for", "workshop_rent")
    told = ran(book, "log", "shop", "--show")
    assert "sharpening" in told
    assert "workshop_rent" in told
    assert "workshop_rent" in ran(book, "log", "shop", "paid", "800", "--for", "rent", status=2)


def test_text_of_a_maker_steers_no_terminal_and_no_database(book: Path) -> None:
    hostile = "\x1b[31m'; DROP TABLE entry; --\u202e =1+1"
    told = ran(book, "log", COUNTER, "note", hostile, status=2)
    assert "control character" in told
    ran(book, "log", COUNTER, "note", "two\nlines \u202eback")
    assert "note (two lines ?back)" in ran(book, "log", COUNTER, "--show")
    ran(book, "log", COUNTER, "note", "'; DROP TABLE entry; -- =1+1")
    assert logged(book, COUNTER)["entries"][-1]["words"] == "'; DROP TABLE entry; -- =1+1"


def test_work_in_hand_is_told_as_of_a_day(book: Path) -> None:
    """What was logged later, or happened later, is not in it."""
    early = figures(book, LECTERN, "--on", "2026-02-20")
    assert early["state"] == "agreed"
    assert early["received"] == "2467.15"
    assert early["labour_hours"] == 13.5  # design, client, buying
    listed = parsed(quoting_run("pieces", "--on", "2026-02-20", "--json", cwd=book).stdout)
    assert [row["number"] for row in listed["pieces"]] == [LECTERN]
    assert parsed(quoting_run("pieces", "--json", "--on", "2026-01-01", cwd=book).stdout)["pieces"] == []
    now = parsed(quoting_run("pieces", "--json", cwd=book).stdout)
    assert [row["number"] for row in now["pieces"]] == [COUNTER]  # the others are delivered and paid
    assert now["others"] == {"agreed, delivered": 3}


def test_a_day_sheet_is_written_and_goes_in_again(book: Path) -> None:
    ran(book, "daysheet", "--out", "sheets")
    sheet = book / "sheets" / "day sheet.csv"
    with sheet.open("a", encoding="utf-8") as file:
        file.write(f"2026-09-25,{COUNTER},assembly,1 1/2 h,,,glued the ends\n")
    assert "added" in ran(book, "log", "--csv", "sheets/day sheet.csv")
    assert "changed since" in ran(book, "daysheet", "--out", "sheets", status=2)


def test_the_list_reads_well_at_sixty_columns(booked: Path) -> None:
    for words in (("pieces", "--all"), ("log", LECTERN, "--show")):
        narrow = quoting_run(*words, cwd=booked, env=environment(COLUMNS="60"))
        assert narrow.returncode == 0
        assert max(map(len, narrow.stdout.splitlines())) <= 60
        assert "…" not in narrow.stdout


def test_a_journal_of_another_ledger_is_not_played_into_a_restored_one(book: Path) -> None:
    ran(book, "ledger", "export", "out")
    (book / "ledger.sqlite").rename(book / "old.sqlite")
    (book / "ledger.sqlite-journal").write_bytes(b"left behind")
    assert "ledger.sqlite-journal: is left of another ledger" in ran(
        book, "ledger", "restore", "out", status=2
    )
    (book / "ledger.sqlite-journal").unlink()
    ran(book, "ledger", "restore", "out")
    assert "sound" in ran(book, "ledger", "check")


def test_control_characters_are_refused_wherever_they_stand(book: Path) -> None:
    for words in (
        ("mark", COUNTER, "built", "--words", "\x1b[31m"),
        ("log", "shop", "hours", "1", "\x1b]0;t\x07"),
    ):
        assert "control character" in ran(book, *words, status=2)
