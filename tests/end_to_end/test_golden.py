"""What `quoting price` and the maker's sheet say of the sample jobs, word for word.

The samples name their dates, so nothing here depends on today. After a wanted change of the words or of
a price, renew the files and read their difference before it is kept:

    QUOTING_RENEW=1 python -m pytest tests/end_to_end/test_golden.py
    git diff tests/end_to_end/golden
"""

from __future__ import annotations

import json
import os
from datetime import date
from pathlib import Path

import pdfplumber
import pytest
from end_to_end.command import ROOT, SAMPLES, parsed, quoting_run

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
    done = quoting_run("price", samples / shop / "jobs" / f"{job}.toml")
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
    "ledger.sell.txt": ("sell", "2026-002", "--price", "5000"),
    "ledger.buying.txt": ("buying", "2026-002"),
    "ledger.pieces.txt": ("pieces", "--all", "--on", "2026-09-30"),
    "ledger.lectern.txt": ("log", "2026-001", "--show"),
    "ledger.counter_front.txt": ("log", "2026-002", "--show"),
    "ledger.show.txt": ("show", "2026-002"),
    "ledger.standing.txt": ("standing", "2026-002", "--on", "2026-09-21"),
    "ledger.review.txt": ("review", "2026-001"),
    "ledger.review_all.txt": ("review",),
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
    done = quoting_run(command, samples / "tern_hollow" / "jobs" / f"{job}.toml", *more)
    assert (done.returncode, done.stderr) == (0, "")
    compared(name, done.stdout)


STORY = {
    "ledger.standing.txt": (
        "9.4 mm",
        "0.553 mm",
        "0.526 mm",
        "rounds still needed: 3: 100%",
        "$4,044",
        "$3,932",
        "29.6%",
        "25.0%",
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
    readme = " ".join((ROOT / "README.md").read_text("utf-8").split()).replace(" %", "%")
    said = " ".join((GOLDEN / name).read_text("utf-8").split())
    for words in STORY[name]:
        assert words in said, words
        figure = words.removeprefix("-").removesuffix(" mm").split(" ± ")[0]
        assert figure in readme or words.startswith("rounds"), figure


def test_there_is_no_golden_file_without_a_sample() -> None:
    wanted = {f"{sample.split('/')[1]}.{kind}" for sample in SAMPLES for kind in ("txt", "json", "bench.txt")}
    assert {path.name for path in GOLDEN.iterdir()} == wanted | set(LEDGER) | set(DECIDING) | {CUT, TODAY}
