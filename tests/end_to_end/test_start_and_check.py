"""The first day: a shop is made, checked, priced."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import SAMPLES, contents, edited, quoting_run

from quoting.job.starters import words_of
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from pathlib import Path


def test_start_makes_three_files_and_says_what_comes_next(tmp_path: Path) -> None:
    done = quoting_run("start", "my shop", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stderr == ""
    made = [name for name, data in contents(tmp_path).items() if data is not None]
    assert made == ["my shop/jobs/first-bench.toml", "my shop/prices.csv", "my shop/shop.toml"]
    assert all(name.removeprefix("my shop/") in done.stdout for name in made)
    assert "LOOK" in done.stdout
    assert "quoting price" in done.stdout


def test_a_new_shop_prices_at_once(bench: Path) -> None:
    done = quoting_run("price", bench)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "price, all in" in done.stdout


def test_a_new_shop_has_nothing_wrong(bench: Path) -> None:
    done = quoting_run("check", bench)
    assert (done.returncode, done.stderr) == (0, "")
    assert " 4 things to buy, 0 warnings; nothing wrong.\nNext: " in done.stdout
    one = quoting_run("check", bench, "--set", "piece.length=30 in").stdout
    assert " 1 warning; nothing wrong." in one


def test_every_note_that_a_quote_may_print_can_be_left_out(bench: Path) -> None:
    """Those of trades, too, by the names under which the notes stand in their words."""
    names = {name for trade in trades() for name in words_of(trade).get("safety", ())} | {"glass", "tip_over"}
    assert "upholstery" in names
    edited(bench, "[quote]", f"[quote]\nleave_out = {sorted(names)!r}")
    done = quoting_run("check", bench)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_new_shop_marks_at_most_six_values_to_look_at(started: Path) -> None:
    """The marks are numbered from 1 on, and stand on lines that are in force."""
    lines = [
        line
        for line in (started / "shop.toml").read_text("utf-8").splitlines()
        if re.search(r"# LOOK \d", line)
    ]
    numbers = [int(found[1]) for line in lines if (found := re.search(r"# LOOK (\d)", line))]
    assert numbers == list(range(1, len(numbers) + 1))
    assert 1 <= len(numbers) <= 6
    assert not any(line.startswith("# ") for line in lines)  # "#key = value" is in force, "# words" explain


def test_start_refuses_a_folder_that_holds_something(shop: Path) -> None:
    before = contents(shop)
    done = quoting_run("start", shop)
    assert done.returncode == 2
    assert "not empty" in done.stderr
    assert done.stdout == ""
    assert contents(shop) == before


def test_start_refuses_a_file(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("mine", "utf-8")
    done = quoting_run("start", tmp_path / "shop")
    assert done.returncode == 2
    assert contents(tmp_path) == {"shop": b"mine"}


def test_start_takes_an_empty_folder_and_one_whose_parents_are_missing(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert quoting_run("start", tmp_path / "empty").returncode == 0
    assert quoting_run("start", tmp_path / "a" / "b" / "shop").returncode == 0
    assert (tmp_path / "a" / "b" / "shop" / "jobs" / "first-bench.toml").is_file()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "empty"]


def test_start_below_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", "utf-8")
    done = quoting_run("start", tmp_path / "file" / "shop")
    assert done.returncode == 2
    assert done.stderr.strip()
    assert contents(tmp_path) == {"file": b"mine"}


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_sample_jobs_have_nothing_wrong(sample: str, samples: Path) -> None:
    shop, job = sample.split("/")
    done = quoting_run("check", samples / shop / "jobs" / f"{job}.toml")
    assert (done.returncode, done.stderr) == (0, "")


def test_check_writes_nothing(console: Path, samples: Path) -> None:
    before = contents(samples)
    assert quoting_run("check", console).returncode == 0
    assert contents(samples) == before


def test_check_finds_what_price_would_stumble_over(bench: Path) -> None:
    """A margin and fees that leave nothing for the cost are told by `check` as by `price`, with a place."""
    for command in ("check", "price"):
        done = quoting_run(command, bench, "--set", "pricing.margin=99 %")
        assert done.returncode == 2, command
        assert "nothing of the price is left" in done.stderr


def test_the_shop_folder_may_be_named(shop: Path, bench: Path, tmp_path: Path) -> None:
    alone = tmp_path / "elsewhere" / "bench.toml"
    alone.parent.mkdir()
    alone.write_bytes(bench.read_bytes())
    assert quoting_run("check", alone).returncode == 2
    assert quoting_run("check", alone, "--shop", shop).returncode == 0


def test_a_shop_file_beside_the_job_rules_over_the_one_above(shop: Path, bench: Path) -> None:
    for name in ("shop.toml", "prices.csv"):
        (bench.parent / name).write_bytes((shop / name).read_bytes())
    (shop / "shop.toml").write_text("not a shop file", "utf-8")
    assert quoting_run("check", bench).returncode == 0


def test_a_section_of_the_shop_is_placed_there_though_the_job_has_parts_of_that_name(shop: Path) -> None:
    """A wrong standing value stops the job before its parts are reckoned with it."""
    edited(shop / "shop.toml", "[upholstery]\n", '[upholstery]\nwebbing_spacing = "0 in"\n')
    job = shop / "jobs" / "stool.toml"
    job.write_text(
        'format = 1\n[piece]\ntitle = "stool"\n[delivery]\ncollect = true\n[[upholstery]]\npart = "seat"\n'
        'length = "17 in"\nwidth = "18 in"\nfabric = "wool"\nwebbing = "jute"\nwrap = "3 in"\n'
        'standard = { upholstering = "2 h" }\n',
        encoding="utf-8",
    )
    done = quoting_run("check", job)
    assert done.returncode == 2
    assert re.search(
        r"^shop\.toml:\d+: upholstery\.webbing_spacing: found 0; write", done.stderr, re.MULTILINE
    )
