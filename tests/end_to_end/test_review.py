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


def test_what_rests_on_a_plan_by_days_is_nothing_before_its_first_day(booked: Path) -> None:
    """Work was done before the days of the plan began: an index of schedule would divide by nothing."""
    found = data_of(booked, "standing", FRONT, "--on", "2026-09-05", "--draws", "500")["earned_value"]
    assert (found["pv"], found["spi"], found["eac_at_both"]) == ("0.00", None, None)
    assert found["cpi"] > 0
    assert float(found["sv"]) == float(found["ev"]) > 0


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


def test_pictures_of_a_review_are_files_of_their_own(booked: Path, tmp_path: Path) -> None:
    """One SVG and one PNG for each picture of the paper, beside it."""
    ran(booked, "review", LECTERN, "--out", str(tmp_path), "--pictures")
    names = {
        path.name.removeprefix(f"{LECTERN} ") for path in tmp_path.iterdir() if not path.name.startswith(".")
    }
    drawn = {"bridge", "hours", "rounds 1"}
    assert names == {
        "review.pdf",
        "review.xlsx",
        *(f"{name}.{kind}" for name in drawn for kind in ("svg", "png")),
    }
    assert "add --out FOLDER" in ran(booked, "review", LECTERN, "--pictures", status=2)


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
    words = ran(shop, *totals(shop, "format = 1\n"), "--details")
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
        ('format = 1\n[[trips]]\ndistance = "9 mi"\n', 2, "hours"),
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
    assert tomllib.loads(after)["ply"]["flax cloth 300"] == {"thickness": "0.483 .. 0.493 .. 0.504 mm"}
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


def test_what_cost_nothing_is_nothing_and_not_unrecorded(shop: Path) -> None:
    """A receipt of 0 and a stage of 0 h say that nothing was spent; left out, both stand at the plan."""
    found = data_of(shop, *totals(shop, 'format = 1\n[receipts]\nhardwood = 0\n[hours]\noffice = "0 h"\n'))
    lines = {line["id"]: line for line in found["lines"]}
    for name in ("hardwood.seat.timber", "standard.design.hours"):
        assert Decimal(lines[name]["actual"]) == 0
        assert name not in found["lines_not_recorded"]


def test_a_slip_of_the_pen_in_a_thickness_is_refused(shop: Path) -> None:
    """Ten plies after round 4, where 18 lay after round 3."""
    said = ran(
        shop, "log", FRONT, "measured", "4 mm", "--part", "panel", "--round", "4", "--plies", "10", status=2
    )
    assert "found 10 plies in round 4; 18 lay there in round 3" in said
    (shop / "slip.csv").write_text(
        "date,kind,value,part,round,plies\n2026-09-22,measured,4 mm,panel,4,10\n", encoding="utf-8"
    )
    assert "slip.csv:2: plies:" in ran(shop, "log", FRONT, "--csv", "slip.csv", status=2)
    ran(shop, "log", FRONT, "measured", "12.5 mm", "--part", "panel", "--round", "4", "--plies", "24")
    assert "measured 0 mm" not in ran(shop, "log", FRONT, "--show")
    assert "write a thickness above zero" in ran(
        shop, "log", FRONT, "measured", "0 mm", "--part", "panel", "--round", "5", "--plies", "30", status=2
    )


def test_a_piece_that_was_hardly_logged_does_not_count_beside_the_others(shop: Path) -> None:
    """Delivered with nothing logged: it is told and left out of margins, bands and standards."""
    before = data_of(shop, "review")
    ran(shop, "issue", "jobs/ash_bench.toml")
    number = "2027-001"
    ran(shop, "mark", number, "agreed")
    ran(shop, "mark", number, "delivered")
    after = data_of(shop, "review")
    assert after["left_out"] == [f"{number}: only 0 % of its cost is recorded, it does not count"]
    assert after["currencies"] == before["currencies"]
    assert after["calibration"] == before["calibration"]
    assert "0 % of the cost is recorded" in " ".join(ran(shop, "review", number).split())


def test_a_piece_that_is_not_built_or_not_sold_is_not_reviewed_as_earned(shop: Path) -> None:
    ran(shop, "issue", "jobs/flax_screen.toml")
    ran(shop, "mark", "2027-001", "for sale") if "for sale" not in ran(shop, "show", "2027-001") else None
    assert "it is not built yet" in ran(shop, "review", "2027-001", status=2)


def test_windows_line_ends_and_a_mark_stay_and_the_former_file_is_the_very_bytes(shop: Path) -> None:
    path = shop / "shop.toml"
    raw = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(raw)
    ran(shop, "learn", "--accept")
    [kept] = shop.glob("shop before *.toml")
    assert kept.read_bytes() == raw
    after = path.read_bytes()
    assert after.startswith(b"\xef\xbb\xbf")
    assert after.count(b"\n") == after.count(b"\r\n") > raw.count(b"\r\n")


def test_braces_and_dots_in_names_are_only_text(shop: Path) -> None:
    """A panel named {a}, a cloth with a dot in its name: reviewed, learnt and put in."""
    for name in ("lectern", "wall_shelf", "side_table"):
        path = shop / "jobs" / f"{name}.toml"
        text = path.read_text("utf-8").replace('"flax cloth 300"', '"flax 0.5 cloth"')
        path.write_text(
            text.replace('part = "leaf"', 'part = "{a} {}"')
            .replace('part = "shelf"', 'part = "{a} {}"')
            .replace('part = "top"', 'part = "{a} {}"'),
            "utf-8",
        )
    book = shop / "prices.csv"
    book.write_text(
        book.read_text("utf-8").replace("flax cloth 300,m2,13", "flax 0.5 cloth,m2,13", 1), "utf-8"
    )
    for name, number in (("lectern", "2026-005"), ("wall_shelf", "2026-006"), ("side_table", "2026-007")):
        ran(shop, "issue", f"jobs/{name}.toml")
        ran(shop, "mark", number, "agreed", "--on", "2026-10-08")
        log = (shop / "log" / f"{name}.csv").read_text("utf-8").replace("flax cloth 300", "flax 0.5 cloth")
        part = {"lectern": "leaf", "wall_shelf": "shelf", "side_table": "top"}[name]
        (shop / "log" / "own.csv").write_text(log.replace(f",{part},", ",{a} {},"), "utf-8")
        ran(shop, "log", number, "--csv", "log/own.csv")
        ran(shop, "mark", number, "built")
        assert "on {a} {} (" in ran(shop, "review", number) or name == "side_table"
    ran(shop, "learn", "--accept")
    assert "flax 0.5 cloth" in tomllib.loads((shop / "shop.toml").read_text("utf-8"))["ply"]


def test_a_job_without_its_totals_is_told_how_to_give_them(shop: Path) -> None:
    assert "--actuals FILE" in ran(shop, "review", "jobs/ash_bench.toml", status=2)
    assert "a day before the quote was issued" in ran(shop, "standing", FRONT, "--on", "2026-01-01", status=2)
    assert "write a day up to today" in ran(shop, "standing", FRONT, "--on", "9999-12-31", status=2)
    assert "Work in hand on 9999" not in ran(shop, "pieces", "--on", "yesterday")


def test_a_piece_of_which_nothing_went_otherwise_says_so(tmp_path: Path) -> None:
    """Nothing is logged, so that every line stands at the plan: no reason is told, and that is told."""
    samples = shutil.copytree(ROOT / "sample_jobs" / "tern_hollow", tmp_path / "shop")
    for arguments in (
        ("issue", "jobs/wall_shelf.toml"),
        ("mark", LECTERN, "agreed"),
        ("mark", LECTERN, "built"),
    ):
        done = quoting_run(*arguments, cwd=samples)
        assert done.returncode == 0, done.stderr
    assert "nothing went otherwise than planned" in quoting_run("review", LECTERN, cwd=samples).stdout
