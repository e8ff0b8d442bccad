"""`quoting quote`: three files or none, and never over somebody's changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, quoting_run

if TYPE_CHECKING:
    from pathlib import Path

KINDS = {" quote.pdf": b"%PDF-", " breakdown.xlsx": b"PK\x03\x04", " maker sheet.pdf": b"%PDF-"}


def seen(folder: Path) -> dict[str, bytes]:
    """Files that a maker sees in a folder; a leading dot hides what the tool keeps for itself."""
    return {
        path.name: path.read_bytes()
        for path in folder.iterdir()
        if path.is_file() and not path.name.startswith(".")
    }


def test_a_quote_is_three_files_named_by_the_job(bench: Path, tmp_path: Path) -> None:
    done = quoting_run("quote", bench, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    made = seen(tmp_path / "out")
    assert set(made) == {f"first-bench{kind}" for kind in KINDS}
    for kind, start in KINDS.items():
        assert made[f"first-bench{kind}"].startswith(start)
        assert f"first-bench{kind}" in done.stdout
    assert "total $" in done.stdout
    assert [name for name in contents(tmp_path / "out") if name.endswith(".tmp")] == []


def test_a_quote_lies_beside_its_job_unless_told_otherwise(bench: Path) -> None:
    assert quoting_run("quote", bench.name, cwd=bench.parent).returncode == 0
    assert set(seen(bench.parent)) == {"first-bench.toml", *(f"first-bench{kind}" for kind in KINDS)}


def test_a_quote_leaves_the_files_of_the_maker_alone(shop: Path, bench: Path, tmp_path: Path) -> None:
    before = contents(shop)
    assert quoting_run("quote", bench, "--out", tmp_path / "out").returncode == 0
    assert contents(shop) == before


def test_a_second_run_writes_over_its_own_files(bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert quoting_run("quote", bench, "--out", out).returncode == 0
    first = seen(out)
    assert quoting_run("quote", bench, "--out", out, "--set", "piece.title=Long bench").returncode == 0
    second = seen(out)
    assert set(second) == set(first)
    assert all(second[name] != first[name] for name in first)


def test_the_same_files_give_the_same_quote(console: Path, tmp_path: Path) -> None:
    """A job with a date gives the same bytes twice."""
    for folder in ("one", "two"):
        assert quoting_run("quote", console, "--out", tmp_path / folder).returncode == 0
    assert seen(tmp_path / "one") == seen(tmp_path / "two")


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_was_changed_is_left_alone(kind: str, bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert quoting_run("quote", bench, "--out", out).returncode == 0
    with (out / f"first-bench{kind}").open("ab") as file:
        file.write(b"\nmy own note")
    before = contents(out)
    done = quoting_run("quote", bench, "--out", out, "--set", "pricing.margin=35 %")
    assert done.returncode == 2
    assert f"first-bench{kind}" in done.stderr
    assert "--overwrite" in done.stderr
    assert contents(out) == before


def test_overwrite_writes_over_changes(bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "first-bench quote.pdf").write_bytes(b"not a quote of ours")
    assert quoting_run("quote", bench, "--out", out).returncode == 2
    assert seen(out) == {"first-bench quote.pdf": b"not a quote of ours"}
    assert quoting_run("quote", bench, "--out", out, "--overwrite").returncode == 0
    assert seen(out)["first-bench quote.pdf"].startswith(b"%PDF-")
    assert quoting_run("quote", bench, "--out", out).returncode == 0


@pytest.mark.parametrize(
    "stem", ["bench no. 2", "Bänkchen für Ölgemälde", "-bench", "bench.v2", "bench's & co"]
)
def test_odd_names_of_jobs_name_the_files(stem: str, bench: Path, tmp_path: Path) -> None:
    job = bench.rename(bench.parent / f"{stem}.toml")
    done = quoting_run("quote", f"./{job.name}", "--out", tmp_path / "out", cwd=bench.parent)
    assert done.returncode == 0, done.stderr
    assert set(seen(tmp_path / "out")) == {f"{stem}{kind}" for kind in KINDS}


def test_a_job_that_cannot_be_priced_leaves_no_file(bench: Path, tmp_path: Path) -> None:
    done = quoting_run("quote", bench, "--out", tmp_path / "out", "--set", "hardwood.leg.length=16")
    assert done.returncode == 2
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("place", ["file", "file/below", "/dev/null/below"])
def test_a_place_that_cannot_be_written_to_is_told(place: str, bench: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine", "utf-8")
    done = quoting_run("quote", bench, "--out", tmp_path / place)
    assert done.returncode == 2
    assert done.stderr.strip()
    assert (tmp_path / "file").read_text("utf-8") == "mine"


def test_a_broken_policy_still_writes_the_quote(bench: Path, tmp_path: Path) -> None:
    done = quoting_run("quote", bench, "--out", tmp_path / "out", "--set", "price.margin=5 %")
    assert done.returncode == 3
    assert set(seen(tmp_path / "out")) == {f"first-bench{kind}" for kind in KINDS}
    assert "below the floor" in done.stdout


def test_the_quote_and_the_price_say_the_same_total(bench: Path, tmp_path: Path) -> None:
    from end_to_end.command import total

    shown = total(quoting_run("price", bench, "--short"))
    assert f"total {shown}," in quoting_run("quote", bench, "--out", tmp_path / "out").stdout


def test_two_jobs_of_one_name_do_not_write_over_each_other(samples: Path, tmp_path: Path) -> None:
    """The second job is told that the file is another's; the first quote stays as it was."""
    bench = next(samples.rglob("ash_bench.toml"))
    other = bench.parent.parent / bench.name
    other.write_text(bench.read_text("utf-8").replace("Ruben Askild", "Ida Wren"), "utf-8")
    assert quoting_run("quote", bench, "--out", tmp_path / "out").returncode == 0
    before = contents(tmp_path / "out")
    done = quoting_run("quote", other, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert "another job" in done.stderr
    assert contents(tmp_path / "out") == before
