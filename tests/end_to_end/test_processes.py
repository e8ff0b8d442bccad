"""Every command once in a process of its own: it says and writes what it does within the process of the tests."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from end_to_end.command import contents, parsed, quoting_process, quoting_run
from end_to_end.ledgers import make_by_script

SMOKE: dict[str, tuple[str, ...]] = {
    "start": ("new",),
    "ask": (),
    "convert": ("jobs/library_console.toml", "new.xlsx"),
    "check": ("jobs/library_console.toml",),
    "price": ("jobs/library_console.toml",),
    "quote": ("jobs/library_console.toml", "--out", "new"),
    "explain": ("laminate",),
    "rates": (),
    "cut": ("jobs/boot_cupboard.toml", "--json"),
    "calendar": ("jobs/library_console.toml",),
    "pictures": ("jobs/ash_bench.toml", "--out", "new"),
    "risk": ("jobs/library_console.toml", "--json"),
    "reach": ("jobs/library_console.toml",),
    "compare": ("jobs/library_console.toml",),
    "sell": ("jobs/ash_bench.toml", "--price", "4000"),
    "issue": ("jobs/ash_bench.toml",),
    "show": ("2026-001",),
    "mark": ("2026-002", "built", "--on", "2026-10-01"),
    "change": ("2026-002", "--job", "jobs/lectern.toml"),
    "log": ("2026-002", "note", "a knot in the rim", "--on", "2026-09-21"),
    "daysheet": ("--out", "new"),
    "prices": ("--yes",),
    "today": (),
    "buying": ("2026-002", "jobs/lectern.toml", "--out", "new"),
    "pieces": ("--all", "--json"),
    "standing": ("2026-002", "--on", "2026-09-21"),
    "review": ("2026-001", "--json"),
    "learn": (),
    "backup": ("--out", "new"),
    "ledger": ("check",),
}
SECOND = re.compile(r"\d{6}(?=\.sqlite)")  # a copy of the ledger is named by the moment at which it is made
TEXTS = {".csv", ".toml", ".svg"}  # documents and ledgers hold the moment at which they were written


def test_every_command_is_run() -> None:
    import typer

    from quoting.cli import app

    group: Any = typer.main.get_command(app)
    assert set(SMOKE) == set(group.commands)


@pytest.mark.parametrize("command", SMOKE)
def test_a_process_says_and_writes_the_same(command: str, booked: Path, tmp_path: Path) -> None:
    found = []
    for name, run in (("process", quoting_process), ("here", quoting_run)):
        folder = shutil.copytree(booked, tmp_path / name)
        done = run(command, *SMOKE[command], cwd=folder)
        written = {path: data for path, data in contents(folder).items() if Path(path).suffix in TEXTS}
        said = SECOND.sub("", done.stdout.replace(str(folder), "FOLDER"))
        names = sorted(SECOND.sub("", path) for path in contents(folder))
        found.append((done.returncode, said, done.stderr, written, names))
    assert found[0] == found[1]


@pytest.mark.exhaustive
def test_the_script_for_makers_makes_the_ledger_of_the_tests(booked: Path, tmp_path: Path) -> None:
    make_by_script(tmp_path / "made")
    for words in (
        ("pieces", "--all"),
        ("review",),
        *(("log", f"2026-{n:03}", "--show") for n in (1, 2, 3, 4)),
    ):
        made, here = (
            parsed(quoting_run(*words, "--json", cwd=each).stdout) for each in (tmp_path / "made", booked)
        )
        assert made == here
