"""What is wrong, as data for other programs, wherever an answer is asked for as data."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, parsed, quoting_run

if TYPE_CHECKING:
    from pathlib import Path

KEYS = tomllib.loads(files("quoting").joinpath("reference", "json_keys.toml").read_text("utf-8"))["wrong"]


@pytest.fixture
def wrong(samples: Path) -> Path:
    """A sample of which a part names a timber that there is not, beside a flag and a length that are none."""
    job = samples / "tern_hollow" / "jobs" / "library_console.toml"
    text = job.read_text("utf-8")
    job.write_text(text.replace('species = "', 'species = "iron', 1), "utf-8")
    with job.open("a", encoding="utf-8") as file:
        file.write('\n[[buy]]\nitem = "felt pads"\nid = "more"\nquantity = "4 lengths"\n')
    return job


@pytest.mark.parametrize("command", ["price", "risk", "reach", "compare", "cut", "sell"])
def test_what_is_wrong_comes_as_data_with_the_same_status(command: str, wrong: Path) -> None:
    """Nothing beside the object, and each problem as the words tell it."""
    before = contents(wrong.parents[1])
    done = quoting_run(command, wrong, "--json")
    words = quoting_run(command, wrong)
    assert (done.returncode, words.returncode) == (2, 2)
    assert (done.stderr, words.stdout) == ("", "")
    data = parsed(done.stdout)
    assert list(data) == KEYS["top"]
    assert {tuple(one) for one in data["problems"]} == {tuple(KEYS["problems"])}
    told = [
        f"{one['file']}:{one['line']}: {one['field']}: {one['found']}; {one['write']}."
        for one in data["problems"]
    ]
    assert told == words.stderr.splitlines()[:-1]
    assert {one["code"] for one in data["problems"]} == {"unknown_name", "unit"}
    assert contents(wrong.parents[1]) == before


def test_a_price_of_the_rest_is_named_with_its_warnings(wrong: Path) -> None:
    data = parsed(quoting_run("price", wrong, "--json").stdout)
    assert len(data["left_out"]) == 2
    assert "buy.more" in data["left_out"]
    assert {one["code"] for one in data["warnings"]} >= {"lifting"}
    assert next(one["path"] for one in data["problems"] if one["code"] == "unit")[2] == "quantity"


def test_an_option_of_the_command_is_named_as_one_types_it(samples: Path) -> None:
    job = samples / "tern_hollow" / "jobs" / "ash_bench.toml"
    data = parsed(quoting_run("price", job, "--json", "--set", "piece.title=").stdout)
    assert [(one["file"], one["path"]) for one in data["problems"]] == [("--set", ["piece", "title"])]
    data = parsed(quoting_run("risk", job, "--json", "--draws", "3").stdout)
    assert [(one["field"], one["values"]["found"]) for one in data["problems"]] == [("--draws", 3)]


def test_a_job_that_is_not_there_comes_as_data(samples: Path) -> None:
    done = quoting_run("price", samples / "none.toml", "--json")
    assert done.returncode == 2
    assert [one["code"] for one in parsed(done.stdout)["problems"]] == ["file_unreadable"]


def test_all_options_of_a_job_are_judged_where_the_price_is_asked_for(samples: Path) -> None:
    """A fault of an option stands in its way at `price` and `check`, not where options are not asked for."""
    job = samples / "tern_hollow" / "jobs" / "library_console.toml"
    with job.open("a", encoding="utf-8") as file:
        file.write('\n[[option]]\nname = "odd"\nset = { "piece.quantity" = 0 }\n')
    assert [quoting_run(name, job).returncode for name in ("price", "check", "reach")] == [2, 2, 0]
