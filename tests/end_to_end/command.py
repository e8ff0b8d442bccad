"""Running the real command in a process of its own."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import quoting

ROOT = Path(quoting.__file__).resolve().parents[1]
ESCAPE = "\x1b"
SAMPLES = ("tern_hollow/ash_bench", "tern_hollow/flax_screen", "tern_hollow/library_console", "tern_hollow/padded_stool", "tern_hollow_overseas/oak_stool")  # fmt: skip
COMMAND = (sys.executable, "-m", "quoting")


def environment(**more: str) -> dict[str, str]:
    """The environment of a run: a plain one, hundred columns wide, that finds the package under test."""
    set_aside = ("NO_COLOR", "FORCE_COLOR", "TERM", "QUOTING_TRACE", "PYTHONWARNINGS")
    kept = {name: value for name, value in os.environ.items() if name not in set_aside}
    return {**kept, "PYTHONPATH": str(ROOT), "COLUMNS": "100", **more}


def quoting_run(
    *arguments: str | Path, cwd: Path | None = None, env: dict[str, str] | None = None, **more: Any
) -> subprocess.CompletedProcess[str]:
    """`quoting ARGUMENTS` as a maker runs it, with its output piped; never a traceback."""
    more = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **more}
    done = subprocess.run(
        [*COMMAND, *map(str, arguments)],
        cwd=cwd,
        env=environment() if env is None else env,
        encoding="utf-8",
        timeout=120,
        check=False,
        **more,
    )
    assert "Traceback" not in (done.stderr or ""), done.stderr
    assert "fault of ours" not in (done.stderr or ""), done.stderr
    return done


def price_of(job: Path, *arguments: str) -> dict[str, Any]:
    """The --json object of a job that can be priced."""
    done = quoting_run("price", job, "--json", *arguments)
    assert done.returncode in (0, 3), done.stderr
    return parsed(done.stdout)


def parsed(text: str) -> dict[str, Any]:
    """One JSON object and nothing beside; NaN and infinity are no JSON."""

    def refuse(word: str) -> None:
        raise ValueError(f"{word} is no JSON")

    found: dict[str, Any] = json.loads(text, parse_constant=refuse)
    return found


def contents(folder: Path) -> dict[str, bytes | None]:
    """Every file below a folder with its bytes."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def edited(path: Path, old: str, new: str) -> None:
    """Change a text in a file; it must be there."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old!r} is not in {path.name}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def total(done: subprocess.CompletedProcess[str]) -> str:
    """The amount on the TOTAL line of a breakdown."""
    found = re.search(r"^ *TOTAL +(\S.*)$", done.stdout, re.MULTILINE)
    assert found, done.stdout + done.stderr
    return found[1]
