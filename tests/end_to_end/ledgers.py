"""Shops with a ledger, made by the real command."""

from __future__ import annotations

import runpy
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING, Any

from end_to_end.command import ROOT, done_well, environment, parsed, quoting_run

if TYPE_CHECKING:
    import os
    from pathlib import Path

SCRIPT = ROOT / "sample_jobs" / "make_ledger.py"


def make(folder: Path) -> None:
    """The sample shop with its ledger, by the steps of the script that makers run."""
    script = runpy.run_path(str(SCRIPT))
    shutil.copytree(script["SAMPLE"], folder)
    for step in script["STEPS"]:
        done_well(*step, cwd=folder)


def make_by_script(folder: Path) -> None:
    """The same by the script itself, in processes of its own."""
    done = subprocess.run(
        [sys.executable, SCRIPT, folder],
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr


def ran(shop: Path, *arguments: str | os.PathLike[str], status: int = 0) -> str:
    """What the command prints in a shop folder, both ways; it must end with the status."""
    done = quoting_run(*map(str, arguments), cwd=shop)
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout + done.stderr


def figures(shop: Path, number: str, *more: str) -> dict[str, Any]:
    """The figures of a piece, from the list of all."""
    rows = parsed(quoting_run("pieces", "--all", "--json", *more, cwd=shop).stdout)["pieces"]
    return next(row for row in rows if row["number"] == number)


def logged(shop: Path, number: str) -> dict[str, Any]:
    """Everything logged on a piece."""
    return parsed(quoting_run("log", number, "--show", "--json", cwd=shop).stdout)
