"""Names that files of older quotes hold are read as what they are called today; whoever writes one is told the new one."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING

import pytest

from quoting import runs
from quoting.__main__ import run
from quoting.job.form import keys_at
from quoting.job.former import file_of_today, frozen_of_today
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.validate import also_called
from quoting.pricing.stored import records
from quoting.reading.tables import reference_rows

if TYPE_CHECKING:
    from pathlib import Path

ROWS = reference_rows("former_names")
IN_FILES = [row for row in ROWS if row["section"]]
FREE = "overhead"
"""A section whose rows may have any name."""


def test_a_file_of_an_older_quote_is_read_in_the_names_of_today() -> None:
    """In sections, in families of sections, in what options set; nothing else moves."""
    then = """
        format = 1
        [price]
        contingency = "P80"
        margin = "25 %"
        [delivery]
        stairs = 2
        [pay.owner]
        wanted_income = 60000
        [pay.helper]
        burden = "12 %"
        [overhead]
        rent = 9000
        billable_hours = 1180
        [[option]]
        name = "upstairs"
        set = { "delivery.stairs" = 3, "price.contingency" = "5 %", "piece.title" = "Bench" }
    """
    assert tomllib.loads(file_of_today(then)) == {
        "format": 1,
        "price": {"reserve": "P80", "margin": "25 %"},
        "delivery": {"flights": 2},
        "pay": {"owner": {"earn_a_year": 60000}, "helper": {"on_top": "12 %"}},
        "overhead": {"rent": 9000, "sold_hours": 1180},
        "option": [
            {
                "name": "upstairs",
                "set": {"delivery.flights": 3, "price.reserve": "5 %", "piece.title": "Bench"},
            }
        ],
    }


def test_a_file_in_the_names_of_today_is_the_same_to_the_byte() -> None:
    text = "# a remark\r\nformat = 1\r\n[price]\r\nreserve = 'P80'  # contingency\r\n"
    assert file_of_today(text) == text


def test_a_frozen_record_is_read_in_the_names_of_today() -> None:
    """Its fields, and rows of a table that has names of its own; a name of something else stays."""
    then = {
        "Shop": {
            "overhead": {"table": {"rent": 1.0, "billable_hours": 2.0}},
            "pay": {"table": {"owner": {"Pay": {"burden": 0.1, "rate": {"decimal": "3"}}}}},
            "words": {"table": {"billable_hours": "x", "stairs": "y"}},
        }
    }
    assert frozen_of_today(then) == {
        "Shop": {
            "overhead": {"table": {"rent": 1.0, "sold_hours": 2.0}},
            "pay": {"table": {"owner": {"Pay": {"on_top": 0.1, "rate": {"decimal": "3"}}}}},
            "words": {"table": {"billable_hours": "x", "stairs": "y"}},
        }
    }


@pytest.mark.parametrize("row", IN_FILES, ids=lambda row: f"{row['section']}.{row['former']}")
def test_whoever_writes_a_former_name_is_told_the_one_of_today(row: dict[str, str]) -> None:
    assert also_called(row["section"], row["former"]) == row["now"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['record'] or row['section']}.{row['former']}")
def test_no_former_name_is_a_name_of_today(row: dict[str, str]) -> None:
    """A key keeps its name with its meaning, or has none: whatever is renamed is gone."""
    if row["section"] and row["section"] != FREE:
        known = {
            *keys_at(Job, (row["section"],)),
            *keys_at(Shop, (row["section"],)),
            *keys_at(Shop, (row["section"], "x")),
        }
        assert row["former"] not in known
        assert row["now"] in known
    if row["record"] in records():
        names = getattr(records()[row["record"]], "_fields", None) or records()[row["record"]].__slots__
        assert row["former"] not in names
        assert row["now"] in names


def test_hours_under_their_former_name_are_no_cost_of_the_year(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rows of the overhead may have any name: this one would be money."""
    runs.start(shop := tmp_path / "shop")
    path = shop / "shop.toml"
    before, overhead = path.read_text("utf-8").split("[overhead]")
    path.write_text(f"{before}[overhead]{overhead.replace('#sold_hours', 'billable_hours', 1)}", "utf-8")
    assert run(["check", str(shop / "jobs" / "first-bench.toml")]) == 2
    told = capsys.readouterr().err
    assert 'overhead.billable_hours: found the hours among the costs; write "sold_hours".' in told


def test_a_former_name_in_a_shop_file_is_not_called_there_already(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the starter values fill in is not what the maker wrote."""
    runs.start(shop := tmp_path / "shop")
    path = shop / "shop.toml"
    path.write_text(path.read_text("utf-8").replace("[delivery]", "[delivery]\ncircuity = 1.2", 1), "utf-8")
    assert run(["check", str(shop / "jobs" / "first-bench.toml")]) == 2
    assert (
        'delivery.circuity: found a field that does not exist here; write "road_factor".'
        in capsys.readouterr().err
    )
