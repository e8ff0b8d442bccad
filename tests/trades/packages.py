"""Packages that bring a trade of their own, laid out in a folder as an installer leaves them, without an installer."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import quoting

if TYPE_CHECKING:
    from collections.abc import Sequence

ROOT = Path(quoting.__file__).resolve().parents[1]
OUTSIDE = Path(__file__).with_name("outside")

DRIVER = """
import contextlib, io, json, sys
from quoting.__main__ import run
done = []
for arguments in json.load(sys.stdin):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(arguments)
    done.append((status, out.getvalue(), err.getvalue()))
json.dump(done, sys.stdout)
"""


class Done(NamedTuple):
    """How a command ended, and what it said."""

    status: int
    out: str
    err: str


def installed(site: Path, name: str = "cord-seats", version: str = "0.1", trade: str = "cord", at: str = "cord_seats:TRADE") -> Path:  # fmt: skip
    """Say in a folder that a package is there and brings a trade."""
    told = site / f"{name.replace('-', '_')}-{version}.dist-info"
    told.mkdir(parents=True)
    (told / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n", "utf-8")
    (told / "entry_points.txt").write_text(f"[quoting.trades]\n{trade} = {at}\n", "utf-8")
    return site


def cord_seats(site: Path) -> Path:
    """A folder in which the trade of these tests is installed."""
    shutil.copytree(OUTSIDE / "cord_seats", site / "cord_seats", ignore=shutil.ignore_patterns("__pycache__"))
    return installed(site)


def commands(cwd: Path, rows: Sequence[Sequence[str | Path]], *sites: Path, python: str = sys.executable) -> list[Done]:  # fmt: skip
    """Commands one after the other in one new process, which sees the packages of some folders; warnings are errors there."""
    path = os.pathsep.join(map(str, (ROOT, *sites)))
    done = subprocess.run(
        [python, "-W", "error", "-c", DRIVER],
        input=json.dumps([[str(one) for one in row] for row in rows]),
        env={**os.environ, "PYTHONPATH": path, "COLUMNS": "100", "PYTHONDONTWRITEBYTECODE": "1"},
        cwd=cwd,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return [Done(*one) for one in json.loads(done.stdout)]
