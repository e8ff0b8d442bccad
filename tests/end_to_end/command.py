"""Running the command as a maker runs it: in this process, which is warm, or in a process of its own where the process is the subject."""

from __future__ import annotations

import decimal
import json
import locale
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

import quoting
from quoting.__main__ import main

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(quoting.__file__).resolve().parents[1]
ESCAPE = "\x1b"
SAMPLES = ("tern_hollow/ash_bench", "tern_hollow/flax_screen", "tern_hollow/library_console", "tern_hollow/padded_stool", "tern_hollow_overseas/oak_stool")  # fmt: skip
COMMAND = (sys.executable, "-m", "quoting")
OUT, ERR = 1, 2


def environment(**more: str) -> dict[str, str]:
    """The environment of a run: a plain one, hundred columns wide, that finds the package under test."""
    set_aside = ("NO_COLOR", "FORCE_COLOR", "TERM", "QUOTING_TRACE", "PYTHONWARNINGS")
    kept = {name: value for name, value in os.environ.items() if name not in set_aside}
    return {**kept, "PYTHONPATH": str(ROOT), "COLUMNS": "100", **more}


def quoting_run(
    *arguments: str | Path, cwd: Path | None = None, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """`quoting ARGUMENTS` with its output piped; never a traceback, and nothing of it is left in this process.

    A start takes a second of a core and what is asked a twentieth of it, so the command runs here, through the entry that
    `python -m quoting` has.
    """
    argv = ["quoting", *map(str, arguments)]
    before = _state()
    with _redirected(OUT) as out, _redirected(ERR) as err, _surroundings(argv, cwd, env):
        status = _status()
    assert _state() == before, f"{argv} left something behind"
    return _sound(subprocess.CompletedProcess(argv, status, out(), err()))


def done_well(*arguments: str | Path, cwd: Path | None = None) -> str:
    """What the command prints, which must end well."""
    done = quoting_run(*arguments, cwd=cwd)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def quoting_process(
    *arguments: str | Path, cwd: Path | None = None, env: dict[str, str] | None = None, **more: Any
) -> subprocess.CompletedProcess[str]:
    """The same in a process of its own; `more` is for its start, such as a pipe that nobody reads."""
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
    return _sound(done)


# A run in the background ignores Ctrl-C, and hands that on to all that it starts; this start takes it back.
IN_FRONT = "import os, signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); os.execv(sys.argv[1], sys.argv[1:])"


def quoting_in_front(*arguments: str | Path) -> subprocess.Popen[str]:
    """`quoting ARGUMENTS` as it runs in the foreground of a terminal: Ctrl-C reaches it, however the tests were started."""
    return subprocess.Popen(
        [sys.executable, "-c", IN_FRONT, *COMMAND, *map(str, arguments)],
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    )


def worked(process: subprocess.Popen[str], seconds: float) -> None:
    """Wait until a process has used so much of a core, however busy the machine is; it must still be going then."""
    used = Path(f"/proc/{process.pid}/stat")
    if not used.exists():  # some systems do not tell so simply
        time.sleep(2 * seconds)
    while used.exists() and sum(_ticks(used)) < seconds * os.sysconf("SC_CLK_TCK"):
        assert process.poll() is None, "ended by itself"
        time.sleep(0.05)
    assert process.poll() is None, "ended by itself"


def _ticks(used: Path) -> list[int]:
    """Time of a process on a core, its own and the system's for it [ticks]: fields 14 and 15 of proc(5)."""
    return [int(field) for field in used.read_text("ascii", "replace").rpartition(")")[2].split()[11:13]]


def _sound(done: subprocess.CompletedProcess[str]) -> subprocess.CompletedProcess[str]:
    assert "Traceback" not in (done.stderr or ""), done.stderr
    assert "fault of ours" not in (done.stderr or ""), done.stderr
    return done


def _status() -> int:
    """The exit status of a run, by the rules of Python for the end of a process."""
    try:
        main()
    except SystemExit as stop:
        if stop.code is None or isinstance(stop.code, int):
            return stop.code or 0
        print(stop.code, file=sys.stderr)
        return 1
    except Exception:
        traceback.print_exc()
        return 1
    return 0


@contextmanager
def _redirected(number: int) -> Iterator[Any]:
    """What a stream is sent while the block lasts, also past Python; gives a function that reads it afterwards."""
    name = {OUT: "stdout", ERR: "stderr"}[number]
    with tempfile.TemporaryFile() as file:
        kept = os.dup(number)
        os.dup2(file.fileno(), number)
        # As in the plainest of locales: the command itself must see to it that it can write every sign.
        stream = open(number, "w", encoding="ascii", closefd=False)  # noqa: SIM115
        said = ""
        try:
            with patch.object(sys, name, stream):
                yield lambda: said
        finally:
            stream.close()
            os.dup2(kept, number)
            os.close(kept)
            file.seek(0)
            said = file.read().decode("utf-8").replace("\r\n", "\n")


@contextmanager
def _surroundings(argv: list[str], cwd: Path | None, env: dict[str, str] | None) -> Iterator[None]:
    """Arguments, environment, folder and an empty input for the time of a run."""
    back = Path.cwd()
    with (
        open(os.devnull, encoding="utf-8") as nothing,
        patch.object(sys, "argv", argv),
        patch.object(sys, "stdin", nothing),
        patch.object(sys, "excepthook", sys.excepthook),  # the command library puts in one of its own
        patch.object(tempfile, "tempdir", None),  # else found once, whatever the environment says
        patch.dict(os.environ, environment() if env is None else env, clear=True),
    ):
        os.chdir(cwd or back)
        try:
            yield
        finally:
            os.chdir(back)


def _state() -> tuple[Any, ...]:
    """What a run could leave changed for the next one."""
    context = decimal.getcontext()
    return (
        signal.getsignal(signal.SIGINT),
        locale.setlocale(locale.LC_ALL),
        (context.prec, context.rounding, [trap for trap, on in context.traps.items() if on]),
        sys.getrecursionlimit(),
    )


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
