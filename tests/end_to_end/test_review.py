"""Standing, review and learn through the real command, on the ledger that makers make with the script."""

from __future__ import annotations

import shutil
import tomllib
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import ROOT, parsed, quoting_run
from end_to_end.ledgers import figures, ran

if TYPE_CHECKING:
    from pathlib import Path

KEYS = tomllib.loads((ROOT / "quoting" / "reference" / "json_keys.toml").read_text("utf-8"))
LECTERN, FRONT = "2026-001", "2026-002"


@pytest.fixture
def shop(booked: Path, tmp_path: Path) -> Path:
    """A copy of the sample shop with its ledger, to be changed."""
    return shutil.copytree(booked, tmp_path / "shop")


def data_of(shop: Path, *arguments: str, status: int = 0) -> dict[str, Any]:
    done = quoting_run(*arguments, "--json", cwd=shop)
    assert done.returncode == status, done.stdout + done.stderr
    return parsed(done.stdout)


@pytest.mark.parametrize(
    ("section", "arguments"),
    [
        ("standing", ("standing", FRONT, "--on", "2026-09-21", "--draws", "500")),
        ("review", ("review", LECTERN)),
        ("review_all", ("review",)),
        ("learn", ("learn",)),
    ],
)
def test_the_json_has_the_keys_that_are_listed(
    booked: Path, section: str, arguments: tuple[str, ...]
) -> None:
    found = data_of(booked, *arguments)
    wanted = KEYS[section]
    assert list(found) == wanted["top"]
    for name, keys in wanted.items():
        if name != "top":
            rows = found[name]
            assert list(rows[0] if isinstance(rows, list) else rows) == keys, name


def test_a_piece_that_was_never_begun_stands_as_its_risk(shop: Path) -> None:
    """The same seed and draws: `risk` of the job and `standing` of the piece before its first entry say the same."""
    risk = data_of(shop, "risk", "jobs/counter_front.toml", "--draws", "1000")
    found = data_of(shop, "standing", FRONT, "--on", "2026-08-24", "--draws", "1000")
    assert [one["value"] for one in found["cost"]] == pytest.approx([one["value"] for one in risk["cost"]])
    assert found["learnt"] == []
    assert found["earned_value"] is None


def test_rounds_that_are_logged_teach_and_narrow(booked: Path) -> None:
    before = data_of(booked, "standing", FRONT, "--on", "2026-09-10")
    after = data_of(booked, "standing", FRONT, "--on", "2026-09-21")
    widths = [found["cost"][3]["value"] - found["cost"][0]["value"] for found in (before, after)]
    assert widths[1] < widths[0]
    assert after["laminates"][0]["rounds_to_go"] == [{"rounds": 3, "chance": 1.0}]
    learnt = {one["name"]: one for one in after["learnt"]}
    ply = learnt["laminate.panel.ply_thickness"]
    assert 0.00052 < ply["now"] < ply["before"]
    assert ply["now_spread"] < 0.5 * ply["before_spread"]


def test_a_wrong_entry_that_is_taken_back_leaves_no_trace(shop: Path) -> None:
    before = quoting_run("standing", FRONT, "--on", "2026-09-21", cwd=shop).stdout
    said = ran(
        shop, "log", FRONT, "hours", "9 h", "laying", "--part", "panel", "--round", "3", "--on", "2026-09-19"
    )
    entry = said.split("logged ")[1].split(":")[0]
    assert quoting_run("standing", FRONT, "--on", "2026-09-21", cwd=shop).stdout != before
    ran(shop, "log", FRONT, "void", entry)
    assert quoting_run("standing", FRONT, "--on", "2026-09-21", cwd=shop).stdout == before


def test_the_review_foots_to_the_cent(booked: Path) -> None:
    for number in (LECTERN, "2026-003", "2026-004"):
        found = data_of(booked, "review", number)
        steps = sum(map(Decimal, found["bridge"].values()))
        assert Decimal(found["quoted_margin_amount"]) + steps == Decimal(found["actual_margin_amount"])
        cost = sum(Decimal(line["actual"]) for line in found["lines"])
        assert cost == Decimal(found["cost"])
        assert Decimal(found["margin_before_overhead"]) == Decimal(found["actual_margin_amount"]) + Decimal(
            found["overhead"]
        )


def test_the_review_says_in_words_what_cost_most(booked: Path) -> None:
    words = quoting_run("review", LECTERN, cwd=booked).stdout
    assert "Two extra bagging rounds on leaf (5 instead of 3, 35 plies instead of 30) cost $" in words
    assert (
        words.index("Hours over the plan cost")
        < words.index("Two extra bagging rounds")
        < words.index("Setbacks cost")
    )


def test_papers_are_written_and_not_written_over(booked: Path, tmp_path: Path) -> None:
    out = tmp_path / "papers"
    said = ran(booked, "review", LECTERN, "--out", str(out))
    assert {path.name for path in out.iterdir() if not path.name.startswith(".")} == {
        "2026-001 review.pdf",
        "2026-001 review.xlsx",
    }
    assert "wrote" in said
    first = {path.name: path.read_bytes() for path in out.iterdir()}
    ran(booked, "review", LECTERN, "--out", str(out))
    assert {path.name: path.read_bytes() for path in out.iterdir()} == first
    (out / "2026-001 review.pdf").write_bytes(b"my own notes")
    refused = ran(booked, "review", LECTERN, "--out", str(out), status=2)
    assert "--overwrite" in refused
    assert (out / "2026-001 review.pdf").read_bytes() == b"my own notes"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("standing", LECTERN), "see how it went: quoting review 2026-001"),
        (("standing", "2026-099"), "2026-099"),
        (("standing", FRONT, "--on", "next week"), "write a day such as"),
        (("standing", FRONT, "--draws", "10"), "--draws"),
        (("standing", FRONT, "--seed", "-1"), "--seed"),
        (("review", FRONT), "see where it stands: quoting standing 2026-002"),
        (("review", "--out", "x"), "name one"),
        (("review", "--actuals", "x.toml"), "write quoting review JOB --actuals FILE"),
        (("review", LECTERN, "--set", "pricing.margin=20 %"), "found an issued quote"),
        (("learn", "--only", "laminate.bag_stup"), 'write "laminate.bag_setup"'),
    ],
)
def test_what_cannot_be_done_is_told_in_words(booked: Path, arguments: tuple[str, ...], words: str) -> None:
    assert words in ran(booked, *arguments, status=2)


TOTALS = """
format = 1
finished = 2026-06-01
price = 4000
[hours]
bench = "30 h"
[receipts]
hardwood = 80
[[trips]]
distance = "18 mi"
hours = "2 h"
[[setbacks]]
what = "a glue line opened"
hours = "3 h"
cost = 12.50
"""


def totals(shop: Path, text: str) -> list[str]:
    (shop / "totals.toml").write_text(text, encoding="utf-8")
    return ["review", "jobs/ash_bench.toml", "--actuals", "totals.toml"]


def test_a_piece_that_was_never_logged_is_reviewed_by_its_totals(shop: Path) -> None:
    found = data_of(shop, *totals(shop, TOTALS))
    assert found["coarse"] is True
    steps = sum(map(Decimal, found["bridge"].values()))
    assert Decimal(found["quoted_margin_amount"]) + steps == Decimal(found["actual_margin_amount"])
    receipts = sum(Decimal(line["actual"]) for line in found["lines"] if line["trade"] == "hardwood")
    assert receipts == 80
    assert Decimal(found["bridge"]["by_receipt"]) == Decimal("92.97") - 80
    assert found["bridge"]["setbacks"].startswith("-")
    assert "standard.design.hours" in found["lines_not_recorded"]
    assert "finish.oil.product" in found["lines_not_recorded"]


def test_totals_that_are_left_out_are_not_recorded_and_never_nothing(shop: Path) -> None:
    """With no totals at all the piece cost what was planned, and all of it is not recorded."""
    found = data_of(shop, *totals(shop, "format = 1\n"))
    assert Decimal(found["cost"]) == Decimal(found["not_recorded"])
    words = ran(shop, *totals(shop, "format = 1\n"))
    assert "not recorded" in words
    assert found["bridge"]["reserve"] != "0.00"
    assert {name for name, amount in found["bridge"].items() if abs(Decimal(amount)) > Decimal("0.05")} == {
        "reserve"
    }


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('format = 1\n[hours]\nbanch = "3 h"\n', 3, 'write "bench"'),
        ("format = 1\n[receipts]\nlaminate = 30\n", 3, "found nothing of this trade"),
        ("format = 1\n[receipts]\nhardwood = 0\n", 3, "leave out"),
        ("format = 1\nprise = 30\n", 2, "price"),
        ('format = 1\n[hours]\nbench = "3 kg"\n', 3, "3 kg"),
        ('format = 1\n[[setbacks]]\nwhat = "cracked"\n', 2, "neither hours nor cost"),
    ],
)
def test_what_is_wrong_in_totals_is_told_with_its_line(shop: Path, text: str, line: int, words: str) -> None:
    said = ran(shop, *totals(shop, text), status=2)
    assert f"totals.toml:{line}:" in said
    assert words in said


def test_learning_changes_the_shop_file_only_where_it_is_accepted(shop: Path) -> None:
    """Comments, order and layout stay; the former file is kept; issued quotes and what they say stay as they were."""
    before = (shop / "shop.toml").read_text("utf-8")
    quote = figures(shop, LECTERN)
    words = ran(shop, "learn")
    assert 'bag_setup = "38.7 .. 58 .. 96.7 min"' in words
    assert (shop / "shop.toml").read_text("utf-8") == before
    said = ran(shop, "learn", "--accept")
    after = (shop / "shop.toml").read_text("utf-8")
    [kept] = shop.glob("shop before *.toml")
    assert kept.name in said
    assert kept.read_text("utf-8") == before
    assert [line for line in before.splitlines() if line not in after.splitlines()] == []
    assert tomllib.loads(after)["laminate"]["bag_setup"] == "38.7 .. 58 .. 96.7 min"
    assert tomllib.loads(after)["species"]["white ash"] == {"waste": "19 .. 25.3 .. 38 %"}
    assert figures(shop, LECTERN) == quote
    assert "Nothing to change in shop.toml." in ran(shop, "learn")
    ran(shop, "check", "jobs/lectern.toml")


def test_one_standard_may_be_accepted_by_its_name_and_twice_a_day(shop: Path) -> None:
    ran(shop, "learn", "--only", "laminate.bag_setup", "--accept")
    ran(shop, "learn", "--only", "standard.laying_roll.time", "--accept")
    after = tomllib.loads((shop / "shop.toml").read_text("utf-8"))
    assert "clean_up" not in after["laminate"]
    assert after["laminate"]["bag_setup"].endswith("min")
    assert after["standard"]["laying_roll"]["time"].endswith("min")
    assert len(list(shop.glob("shop before *.toml"))) == 2


def test_a_learnt_ply_prices_a_job_that_gives_none(shop: Path) -> None:
    job = shop / "jobs" / "counter_front.toml"
    text = job.read_text("utf-8").replace('ply_thickness = "0.50 .. 0.55 .. 0.62 mm"\n', "")
    (shop / "jobs" / "again.toml").write_text(text, encoding="utf-8")
    assert "found no cured thickness" in ran(shop, "check", "jobs/again.toml", status=2)
    ran(shop, "learn", "--accept")
    ran(shop, "check", "jobs/again.toml")


def test_waste_learnt_later_moves_no_change_of_an_older_quote(shop: Path) -> None:
    """A change is priced at the quote's own standards."""
    text = (
        (shop / "jobs" / "counter_front.toml")
        .read_text("utf-8")
        .replace('length = "16 in"\nwidth = "3/4 in"', 'length = "17 in"\nwidth = "3/4 in"')
    )
    (shop / "jobs" / "wider.toml").write_text(text, encoding="utf-8")
    before = ran(shop, "change", FRONT, "--job", "jobs/wider.toml")
    ran(shop, "learn", "--accept")
    assert ran(shop, "change", FRONT, "--job", "jobs/wider.toml") == before


def test_all_pieces_side_by_side_add_up(booked: Path) -> None:
    tables = data_of(booked, "review")["currencies"]["USD"]
    net, actual = (sum(one[name] for one in tables["pieces"]) for name in ("net", "actual"))
    for table in ("by_kind", "by_client"):
        assert sum(one["net"] for one in tables[table]) == pytest.approx(net)
        assert sum(one["actual"] for one in tables[table]) == pytest.approx(actual)
    [kind] = tables["by_kind"]
    assert kind["actual_margin"] == pytest.approx(actual / net)
    labour = next(one for one in tables["by_trade"] if one["trade"] == "labour")
    assert labour["bias"] == pytest.approx(labour["actual"] / labour["planned"] - 1)
    assert labour["pieces"] == 3


def test_overhead_that_was_spent_stands_beside_what_pieces_bore(shop: Path) -> None:
    assert data_of(shop, "review")["overhead"][0]["spent"] is None
    ran(shop, "log", "shop", "paid", "9600", "workshop_rent", "--on", "2026-10-01")
    [year] = data_of(shop, "review")["overhead"]
    assert year["spent"] == 9600
    assert year["variance"]["spending"] == 9600 - 18_400
    assert year["variance"]["spending"] + year["variance"]["volume"] == pytest.approx(9600 - year["absorbed"])
