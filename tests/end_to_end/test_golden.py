"""What `quoting price` and the maker's sheet say of the sample jobs, word for word.

The samples name their dates, so nothing here depends on today. After a wanted change of the words or of
a price, renew the files and read their difference before it is kept:

    QUOTING_RENEW=1 python -m pytest tests/end_to_end/test_golden.py
    git diff tests/end_to_end/golden
"""

from __future__ import annotations

import json
import os
import shutil
from datetime import date
from pathlib import Path

import pdfplumber
import pytest
from end_to_end.command import ROOT, SAMPLES, environment, parsed, quoting_run

GOLDEN = Path(__file__).parent / "golden"
CUT = "boot_cupboard.cut.txt"
OF_THE_RUN = ("engine", "inputs")  # the version, and the fingerprints of the files that were read


def compared(name: str, text: str) -> None:
    """Text against the golden file of that name; written anew where QUOTING_RENEW is set."""
    path = GOLDEN / name
    if os.environ.get("QUOTING_RENEW"):
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_breakdown_is_as_it_was(sample: str, samples: Path) -> None:
    """Renew with QUOTING_RENEW=1 after a wanted change."""
    shop, job = sample.split("/")
    done = quoting_run("price", f"{job}.toml", "--details", cwd=samples / shop / "jobs")
    assert (done.returncode, done.stderr) == (0, "")
    compared(f"{job}.txt", done.stdout)


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_json_object_is_as_it_was(sample: str, samples: Path) -> None:
    """Renew with QUOTING_RENEW=1 after a wanted change. The version and the fingerprints are left out."""
    shop, job = sample.split("/")
    done = quoting_run("price", samples / shop / "jobs" / f"{job}.toml", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    data = {name: value for name, value in parsed(done.stdout).items() if name not in OF_THE_RUN}
    compared(f"{job}.json", json.dumps(data, ensure_ascii=False, indent=1) + "\n")


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_sheet_for_the_bench_is_as_it_was(sample: str, samples: Path) -> None:
    """Where the words stand on the paper, too. Renew with QUOTING_RENEW=1 after a wanted change."""
    shop, job = sample.split("/")
    done = quoting_run("quote", samples / shop / "jobs" / f"{job}.toml")
    assert done.returncode == 0, done.stderr
    with pdfplumber.open(samples / shop / "jobs" / f"{job} maker sheet.pdf") as document:
        pages = [page.extract_text(layout=True, x_density=4.5) for page in document.pages]
    lines = [line.rstrip() for page in pages for line in page.splitlines()]
    compared(f"{job}.bench.txt", "\n".join(line for line in lines if line) + "\n")


LEDGER = {
    "ledger.sell.txt": ("sell", "2026-002", "--price", "5000", "--details"),
    "ledger.buying.txt": ("buying", "2026-002"),
    "ledger.pieces.txt": ("pieces", "--all", "--on", "2026-09-30", "--details"),
    "ledger.lectern.txt": ("log", "2026-001", "--show"),
    "ledger.counter_front.txt": ("log", "2026-002", "--show"),
    "ledger.show.txt": ("show", "2026-002"),
    "ledger.standing.txt": ("standing", "2026-002", "--on", "2026-09-21", "--details"),
    "ledger.review.txt": ("review", "2026-001", "--details"),
    "ledger.review_all.txt": ("review", "--details"),
    "ledger.learn.txt": ("learn",),
}
"""What the sample ledger says of itself. None of it depends on today."""


@pytest.mark.parametrize("name", LEDGER)
def test_the_sample_ledger_says_what_it_said(name: str, booked: Path) -> None:
    """Renew with QUOTING_RENEW=1 after a wanted change."""
    done = quoting_run(*LEDGER[name], cwd=booked)
    assert (done.returncode, done.stderr) == (0, "")
    compared(name, done.stdout)


TODAY = "ledger.today.txt"


def test_a_day_of_the_sample_ledger_says_what_it_said(booked: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The day after the third round was taken out of its bag. Renew with QUOTING_RENEW=1 after a wanted change."""
    monkeypatch.setattr("quoting.cli.today.this_day", lambda: date(2026, 9, 20))
    done = quoting_run("today", cwd=booked)
    assert (done.returncode, done.stderr) == (0, "")
    compared(TODAY, done.stdout)


DECIDING = {
    "risk.library_console.txt": ("risk", "library_console"),
    "risk.flax_screen.txt": ("risk", "flax_screen"),
    "reach.library_console.txt": ("reach", "library_console", "--to", "47.9, -117.3", "--carrier", "190"),
    "compare.library_console.txt": (
        "compare",
        "library_console",
        "--or",
        "laminate.drawer-front.bag=reusable",
    ),
    "sell.library_console.txt": ("sell", "library_console", "--price", "8000"),
}
"""What the commands that help to decide say of a sample."""


@pytest.mark.parametrize("name", DECIDING)
def test_the_commands_that_help_to_decide_say_what_they_said(name: str, samples: Path) -> None:
    """Renew with QUOTING_RENEW=1 after a wanted change."""
    command, job, *more = DECIDING[name]
    done = quoting_run(command, f"{job}.toml", *more, "--details", cwd=samples / "tern_hollow" / "jobs")
    assert (done.returncode, done.stderr) == (0, "")
    compared(name, done.stdout)


STORY = {
    "ledger.standing.txt": (
        "9.4 mm",
        "0.553 mm",
        "0.526 mm",
        "rounds still needed: 3: 100 %",
        "$4,044",
        "$3,932",
        "29.6 %",
        "25 %",
    ),
    "ledger.review.txt": (
        "$1,164.36",
        "-$491.64",
        "Two extra bagging rounds on leaf (5 instead of 3, 35 plies instead of 30) cost $440.62",
    ),
    "ledger.learn.txt": ("58 min ± 3.29 min",),
}
"""What the README tells of the sample ledger."""


@pytest.mark.parametrize("name", STORY)
def test_the_story_of_the_readme_is_what_the_commands_say(name: str) -> None:
    readme = " ".join((ROOT / "README.md").read_text("utf-8").split())
    said = " ".join((GOLDEN / name).read_text("utf-8").split())
    for words in STORY[name]:
        assert words in said, words
        figure = words.removeprefix("-").removesuffix(" mm").split(" ± ")[0]
        assert figure in readme or words.startswith("rounds"), figure


WIDTHS = (60, 80, 100)
WIDTHS_DAILY = pytest.mark.parametrize(
    "widths", [(80,), pytest.param((60, 100), marks=pytest.mark.exhaustive)], ids=["80", "60 and 100"]
)
MOST_LINES = 24
JOB_ANSWERS = {
    "price": ("price", "library_console.toml"),
    "price.short": ("price", "ash_bench.toml", "--short"),
    "price.bench": ("price", "ash_bench.toml"),
    "price.floor": ("price", "flax_screen.toml", "--set", "price.margin=5 %"),
    "price.screen": ("price", "flax_screen.toml"),
    "price.stool": ("price", "../../tern_hollow_overseas/jobs/oak_stool.toml"),
    "price.padded": ("price", "padded_stool.toml"),
    "check": ("check", "library_console.toml"),
    "risk": ("risk", "library_console.toml"),
    "reach": ("reach", "library_console.toml", "--to", "47.9, -117.3", "--carrier", "190"),
    "reach.table": ("reach", "--price", "3000", "--cost", "1950", "--shop", ".."),
    "compare": ("compare", "library_console.toml", "--or", "laminate.drawer-front.bag=reusable"),
    "sell": ("sell", "library_console.toml", "--price", "8000"),
    "cut": ("cut", "boot_cupboard.toml"),
    "calendar": ("calendar", "library_console.toml"),
    "rates": ("rates", ".."),
    "rates.details": ("rates", "..", "--details"),
    "explain.words": ("explain", "kerf"),
    "explain.field": ("explain", "office_time"),
    "quote": ("quote", "ash_bench.toml", "--out", "papers"),
    "pictures": ("pictures", "ash_bench.toml", "--out", "pictures"),
    "convert": ("convert", "ash_bench.toml", "bench.xlsx"),
    "start": ("start", "new"),
    "start.sheet": ("start", "--sheet", "new.xlsx"),
}
"""What commands say in a folder of jobs."""

BOOK_ANSWERS = {
    "pieces": ("pieces", "--all", "--on", "2026-09-30"),
    "standing": ("standing", "2026-002", "--on", "2026-09-21"),
    "review": ("review", "2026-001"),
    "review.all": ("review",),
    "learn": ("learn",),
    "show": ("show", "2026-004"),
    "log": ("log", "2026-002", "used", "1 L", "laminating epoxy", "--on", "2026-09-22"),
    "log.show": ("log", "2026-002", "--show"),
    "mark": ("mark", "2026-002", "built", "--on", "2026-09-22"),
    "change": ("change", "2026-002", "--job", "jobs/counter_front.toml", "--words", "as it is"),
    "issue": ("issue", "jobs/ash_bench.toml", "--out", "papers"),
    "daysheet": ("daysheet", "--out", "papers"),
    "ledger.check": ("ledger", "check"),
    "ledger.export": ("ledger", "export", "plain"),
}
"""What they say in a shop folder with its ledger."""

ANSWERS_FIRST = (
    "price", "price.bench", "price.floor", "price.screen", "price.stool", "price.padded", "risk", "reach", "reach.table", "compare",
    "sell", "cut", "rates", "pieces", "standing", "review", "review.all",
)  # fmt: skip
"""Answers that must be seen at a glance."""


def answered(name: str, words: tuple[str, ...], folder: Path, columns: int) -> None:
    """What a command says at a width: no line is wider, and it is as it was."""
    done = quoting_run(*words, cwd=folder, env=environment(COLUMNS=str(columns)))
    assert done.returncode in (0, 3), done.stderr
    said = done.stdout.partition("\n--- shop.toml")[0]  # a change to a file is shown as it is
    assert [line for line in said.splitlines() if len(line) > columns] == []
    if name in ANSWERS_FIRST and columns >= 80:
        assert len(done.stdout.splitlines()) <= MOST_LINES
    compared(f"answers/{name}.{columns}.txt", done.stdout)


@WIDTHS_DAILY
@pytest.mark.parametrize("name", JOB_ANSWERS)
def test_the_answers_about_jobs_are_as_they_were(
    widths: tuple[int, ...], name: str, samples: Path, tmp_path: Path
) -> None:
    """At every width. Renew with QUOTING_RENEW=1 after a wanted change."""
    for columns in widths:
        folder = Path(shutil.copytree(samples, tmp_path / str(columns)))
        answered(name, JOB_ANSWERS[name], folder / "tern_hollow" / "jobs", columns)


@WIDTHS_DAILY
@pytest.mark.parametrize("name", BOOK_ANSWERS)
def test_the_answers_about_the_ledger_are_as_they_were(
    widths: tuple[int, ...], name: str, booked: Path, tmp_path: Path
) -> None:
    """At every width. Renew with QUOTING_RENEW=1 after a wanted change."""
    for columns in widths:
        folder = Path(shutil.copytree(booked, tmp_path / str(columns)))
        answered(name, BOOK_ANSWERS[name], folder, columns)


def test_there_is_no_golden_file_without_a_sample() -> None:
    wanted = {f"{sample.split('/')[1]}.{kind}" for sample in SAMPLES for kind in ("txt", "json", "bench.txt")}
    there = {path.name for path in GOLDEN.iterdir()}
    assert there == wanted | set(LEDGER) | set(DECIDING) | {CUT, TODAY, "answers"}
    answers = {f"{name}.{columns}.txt" for name in (*JOB_ANSWERS, *BOOK_ANSWERS) for columns in WIDTHS}
    assert {path.name for path in (GOLDEN / "answers").iterdir()} == answers
