"""Make a shop folder with a ledger from the plain files of a sample: `.venv/bin/python sample_jobs/make_ledger.py FOLDER`.

Three pieces are finished, one of which lost money, and one is in the middle of its build. Everything goes through the command, as a maker would
do it; run it with the Python that has `quoting` installed.
"""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path

SAMPLE = Path(__file__).parent / "tern_hollow"

STEPS = (
    ("issue", "jobs/lectern.toml"),
    ("mark", "2026-001", "agreed", "--on", "2026-02-09"),
    ("log", "2026-001", "--csv", "log/lectern.csv"),
    ("mark", "2026-001", "built", "--on", "2026-03-20"),
    ("mark", "2026-001", "delivered", "--on", "2026-03-24"),
    ("issue", "jobs/counter_front.toml"),
    ("mark", "2026-002", "agreed", "--on", "2026-08-24"),
    ("log", "2026-002", "--csv", "log/counter_front.csv"),
    ("issue", "jobs/wall_shelf.toml"),
    ("mark", "2026-003", "agreed", "--on", "2026-10-01"),
    ("log", "2026-003", "--csv", "log/wall_shelf.csv"),
    ("mark", "2026-003", "built", "--on", "2026-10-21"),
    ("mark", "2026-003", "delivered", "--on", "2026-10-22"),
    ("issue", "jobs/side_table.toml"),
    ("mark", "2026-004", "agreed", "--on", "2026-10-08"),
    ("log", "2026-004", "--csv", "log/side_table.csv"),
    ("mark", "2026-004", "built", "--on", "2026-11-02"),
    ("mark", "2026-004", "delivered", "--on", "2026-11-03"),
)


def make(folder: Path) -> None:
    """Copy the sample shop and carry out the steps; nothing is left of a try that failed."""
    if importlib.util.find_spec("quoting") is None:
        sys.exit("this Python has no quoting: run it with .venv/bin/python")
    if folder.exists():
        sys.exit(f"{folder} is there already: write a new folder")
    shutil.copytree(SAMPLE, folder)
    try:
        for step in STEPS:
            subprocess.run([sys.executable, "-m", "quoting", *step], cwd=folder, check=True)
    except BaseException:
        shutil.rmtree(folder)
        raise


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("write a new folder: .venv/bin/python sample_jobs/make_ledger.py FOLDER")
    make(Path(sys.argv[1]))
