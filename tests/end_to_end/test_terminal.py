"""The command among other programs: terminals, pipes, signals, locales, help."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import struct
import subprocess
import sys
import tomllib
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import (
    COMMAND,
    ESCAPE,
    ROOT,
    contents,
    edited,
    environment,
    parsed,
    quoting_in_front,
    quoting_process,
    quoting_run,
    worked,
)

if TYPE_CHECKING:
    from pathlib import Path

COMMANDS = ("start", "check", "price", "quote", "rates")
HEAVY = {
    "pandas",
    "numpy",
    "pint",
    "openpyxl",
    "reportlab",
    "pydantic",
    "questionary",
    "icalendar",
    "highspy",
}


# --- help


def options_of(command: str) -> list[str]:
    import typer

    from quoting.cli import app

    group: Any = typer.main.get_command(app)
    return [
        name
        for param in group.commands[command].params
        for name in (*param.opts, *param.secondary_opts)
        if name.startswith("-")
    ]


@pytest.mark.parametrize("command", COMMANDS)
def test_help_names_every_option(command: str) -> None:
    done = quoting_run(command, "--help")
    assert (done.returncode, done.stderr) == (0, "")
    for option in (*options_of(command), "--help"):
        assert option in done.stdout, option
    assert done.stdout == quoting_run(command, "-h").stdout
    assert ESCAPE not in done.stdout


def test_help_names_every_command_and_the_exit_statuses() -> None:
    done = quoting_run("--help")
    assert done.returncode == 0
    assert [
        command for command in COMMANDS if not re.search(rf"^  {command}\b", done.stdout, re.MULTILINE)
    ] == []
    told = " ".join(done.stdout.split())
    assert all(status in told for status in ("0 done", "2 ", "3 done but", "70 ", "130 "))


def test_price_has_the_options_of_its_description() -> None:
    assert {"--shop", "--set", "--json", "--strict", "--short", "--details"} <= set(options_of("price"))
    assert {"--shop", "--set", "--out", "--overwrite", "--strict"} <= set(options_of("quote"))


@pytest.mark.parametrize(
    "arguments", [["--help"], ["--version"], *([command, "--help"] for command in COMMANDS)]
)
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "quoting", *arguments],
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    loaded = {name.split(".")[0] for name in re.findall(r"\| +([\w.]+)$", done.stderr, re.MULTILINE)}
    assert "typer" in loaded
    # typer itself loads pydantic for the help of a command; that no record of ours is loaded is seen beside
    by_typer = {"pydantic"} if arguments[0] in COMMANDS else set()
    assert loaded & HEAVY - by_typer == set()
    assert "quoting.job" not in done.stderr


def test_the_version_is_the_package_s() -> None:
    from quoting import __version__

    done = quoting_run("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"quoting {__version__}\n", "")


@pytest.mark.skipif(
    shutil.which("bash") is None, reason="completion is shown for the shell that runs the command"
)
def test_completion_can_be_shown() -> None:
    """The command looks for the shell above it, so one is started; the second line keeps it from giving way to the command."""
    line = f"{shlex.join([*COMMAND, '--show-completion'])}\nexit $?"
    done = subprocess.run(
        ["bash", "-c", line], env=environment(), capture_output=True, encoding="utf-8", check=False
    )
    assert done.returncode == 0, done.stderr
    assert "complete -o default -F _quoting_completion quoting" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["prce"], "'price'"),
        (["price"], "JOB"),
        (["price", "x.toml", "--shrt"], "--short"),
        (["price", "a", "b"], "b"),
    ],
)
def test_a_command_that_is_written_wrong_is_told(arguments: list[str], words: str) -> None:
    done = quoting_run(*arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert done.stdout == ""


def test_without_arguments_the_help_is_shown() -> None:
    assert "Commands:" in quoting_run().stdout


# --- the entry point


def entry(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """The `quoting` script as an installer makes it from pyproject.toml."""
    target = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["scripts"]["quoting"]
    module, function = target.split(":")
    script = f"import sys; from {module} import {function}; sys.argv[0] = 'quoting'; sys.exit({function}())"
    return subprocess.run(
        [sys.executable, "-c", script, *map(str, arguments)],
        env=environment(),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def test_the_entry_point_and_the_module_behave_the_same(bench: Path) -> None:
    for arguments in (
        ["--help"],
        ["price", bench],
        ["price", bench, "--json", "--set", "price.margin=5 %"],
        ["check", bench, "--set", "hardwood.leg.length=16"],
        ["nope"],
    ):
        one, other = entry(*arguments), quoting_process(*arguments)
        assert (one.returncode, one.stdout, one.stderr) == (other.returncode, other.stdout, other.stderr)


# --- rates


def test_rates_shows_every_rate_of_the_shop(shop: Path) -> None:
    done = quoting_run("rates", shop, "--details")
    assert (done.returncode, done.stderr) == (0, "")
    data = parsed(quoting_run("rates", shop, "--json").stdout)
    assert set(data["rates"]) == {"pay.owner", "overhead", "machine.router"}
    assert data["rates"]["pay.owner"]["per_hour"] == pytest.approx(60000 / 1150)
    rows = tomllib.loads((shop / "shop.toml").read_text("utf-8"))["overhead"]
    assert data["rates"]["overhead"]["per_hour"] == pytest.approx(sum(rows.values()) / 1150)
    assert data["rates"]["machine.router"]["per_hour"] == pytest.approx(
        (14000 - 2000) / 10000 + 600 / 400 + 3 * 0.15
    )
    for name, rate in data["rates"].items():
        assert re.search(rf"^  {re.escape(name)} +{rate['per_hour']:,.2f}$", done.stdout, re.MULTILINE)


def test_rates_warns_of_what_is_counted_twice(shop: Path) -> None:
    """A row of electricity in the overhead, beside a machine whose rate holds its power."""
    edited(shop / "shop.toml", "insurance = 2100", "insurance = 2100\nelectricity = 900")
    data = parsed(quoting_run("rates", shop, "--json").stdout)
    assert [words for words in data["counted_twice"] if words.startswith("overhead.electricity: ")]
    assert "overhead.electricity: " in quoting_run("rates", shop).stdout


def test_rates_have_the_listed_keys(shop: Path) -> None:
    keys = tomllib.loads((ROOT / "quoting" / "reference" / "json_keys.toml").read_text("utf-8"))["rates"]
    data = parsed(quoting_run("rates", shop, "--json").stdout)
    assert list(data) == keys["top"]
    assert {tuple(rate) for rate in data["rates"].values()} == {tuple(keys["rates"])}


def test_rates_takes_the_folder_it_stands_in(shop: Path) -> None:
    assert quoting_run("rates", cwd=shop).stdout == quoting_run("rates", shop).stdout


def test_rates_of_a_folder_without_a_shop_is_told(tmp_path: Path) -> None:
    done = quoting_run("rates", tmp_path)
    assert done.returncode == 2
    assert "shop.toml" in done.stderr


def test_rates_of_a_wrong_shop_names_the_line(shop: Path) -> None:
    with (shop / "shop.toml").open("a", encoding="utf-8") as file:
        file.write("\n[pay.helper]\nrate = -3\n")
    last = len((shop / "shop.toml").read_text("utf-8").splitlines())
    done = quoting_run("rates", shop)
    assert done.returncode == 2
    assert done.stderr.startswith(f"shop.toml:{last}: pay.helper.rate: ")


# --- terminals and pipes


def on_a_terminal(*arguments: str | Path, errors_too: bool = True, **env: str) -> tuple[int, str]:
    """Exit status and everything that a terminal of 100 columns is sent."""
    import fcntl
    import pty
    import termios

    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 100, 0, 0))
    process = subprocess.Popen(
        [*COMMAND, *map(str, arguments)],
        stdin=slave,
        stdout=slave,
        stderr=slave if errors_too else subprocess.DEVNULL,
        env=environment(TERM="xterm-256color") | env,
    )
    os.close(slave)
    sent = b""
    while True:
        try:
            piece = os.read(master, 65536)
        except OSError:  # the other end is closed
            break
        if not piece:
            break
        sent += piece
    os.close(master)
    return process.wait(timeout=60), sent.decode("utf-8")


def test_a_terminal_shows_headings_in_bold(bench: Path) -> None:
    status, sent = on_a_terminal("price", bench, "--details")
    assert status == 0
    assert f"{ESCAPE}[1mFrom cost to price{ESCAPE}[0m" in sent
    assert re.search(re.escape(ESCAPE) + r"\[1m *TOTAL", sent)


def test_an_answer_is_bold_in_its_first_figures_and_coloured_in_warnings_alone(console: Path) -> None:
    status, sent = on_a_terminal("price", console, errors_too=False)
    assert status == 0
    styles = re.findall(rf"{ESCAPE}\[(\d+)m([^{ESCAPE}]*){ESCAPE}\[0m", sent)
    assert {code for code, _ in styles} == {"1", "33"}
    bold = [words.strip() for code, words in styles if code == "1"]
    assert bold == ["$9,021.50", "$8,522.14", "25 %", "$4,510.75"]
    [warnings] = [words for code, words in styles if code == "33"]
    assert warnings.startswith("2 warnings  ")
    plain = re.sub(rf"{ESCAPE}\[[0-9;]*m", "", sent).replace("\r\n", "\n")
    assert plain == quoting_run("price", console).stdout


def test_a_pipe_gets_no_escape_codes(console: Path) -> None:
    for arguments in (
        ["price", console],
        ["price", console, "--json"],
        ["rates", console.parent.parent],
        ["check", console],
    ):
        done = quoting_run(*arguments, env=environment(TERM="xterm-256color"))
        assert ESCAPE not in done.stdout + done.stderr


def test_no_color_gives_no_escape_codes_on_a_terminal(bench: Path) -> None:
    status, sent = on_a_terminal("price", bench, "--details", errors_too=False, NO_COLOR="1")
    assert status == 0
    assert "TOTAL" in sent
    assert ESCAPE not in sent


def test_a_dumb_terminal_gets_no_escape_codes_at_all(bench: Path) -> None:
    """Neither styles nor the codes that wipe the line of progress."""
    status, sent = on_a_terminal("price", bench, "--details", TERM="dumb")
    assert status == 0
    assert "TOTAL" in sent
    assert ESCAPE not in sent


def test_json_on_a_terminal_is_json(bench: Path) -> None:
    _, sent = on_a_terminal("price", bench, "--json", errors_too=False)
    assert parsed(sent.replace("\r\n", "\n"))["format"] == 1


def test_an_error_on_a_terminal_stands_on_a_line_of_its_own(bench: Path) -> None:
    """The words of progress are wiped before the first problem is printed."""
    status, sent = on_a_terminal("price", bench, "--set", "hardwood.leg.length=16")
    assert status == 2
    line = next(line for line in sent.splitlines() if "hardwood.leg.length" in line)
    assert line.removeprefix(f"{ESCAPE}[K").startswith("--set: "), line  # splitlines ends a line at \r


def test_a_narrow_terminal_keeps_every_amount(bench: Path) -> None:
    done = quoting_run("price", bench, "--short", env=environment(COLUMNS="40"))
    wide = quoting_run("price", bench, "--short")
    amounts = re.findall(r"= (\$[\d,]+\.\d\d)$", wide.stdout, re.MULTILINE)
    assert amounts
    assert re.findall(r"= (\$[\d,]+\.\d\d)$", done.stdout, re.MULTILINE) == amounts


@pytest.mark.parametrize("command", ["price", "check", "price --json", "rates", "--help"])
def test_a_reader_that_has_gone_is_no_fault(command: str, bench: Path) -> None:
    """As with `| head -1`: no traceback, and the status of a run that did what it could."""
    word, *rest = command.split()
    target = {"rates": [bench.parent.parent], "--help": []}.get(word, [bench])
    reader, writer = os.pipe()
    os.close(reader)
    done = quoting_process(word, *target, *rest, stdout=writer)
    os.close(writer)
    assert done.stderr == ""
    assert done.returncode == 0


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="only some systems have a device that is full")
@pytest.mark.parametrize("command", ["price", "check", "price --json"])
def test_a_full_disk_is_told(command: str, bench: Path) -> None:
    word, *rest = command.split()
    with open("/dev/full", "w") as full:
        done = quoting_process(word, bench, *rest, stdout=full)
    assert done.returncode == 2
    assert "No space left" in done.stderr
    assert "Exception ignored" not in done.stderr


def test_a_plain_locale_still_shows_accented_names(samples: Path) -> None:
    job = samples / "tern_hollow_overseas" / "jobs" / "oak_stool.toml"
    named = job.rename(job.with_name("Höckerchen.toml"))
    plain = {
        name: value
        for name, value in environment().items()
        if not name.startswith(("LC_", "LANG", "PYTHONUTF8"))
    }
    done = quoting_process("price", named, env=plain | {"LC_ALL": "C"})
    assert done.returncode == 0, done.stderr
    assert "Żaneta Müller-Łęcka" in done.stdout
    assert "€" in done.stdout
    assert "Höckerchen.toml: " in quoting_process("check", named, env=plain | {"LC_ALL": "C"}).stdout


# --- interruption


def interrupted(job: Path, *arguments: str | Path) -> tuple[int, str, str]:
    """A run that takes long, stopped with Ctrl-C while it reckons."""
    process = quoting_in_front(*arguments, job, "--set", "risk.draws=1000000", "--set", "price.reserve=P80")
    worked(process, 2.0)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    return process.returncode, out, err


def test_ctrl_c_ends_with_its_status_and_no_traceback(console: Path, samples: Path) -> None:
    before = contents(samples)
    status, out, err = interrupted(console, "price")
    assert status == 130
    assert out == ""
    assert "Traceback" not in err
    assert "interrupted; what is written is whole" in err
    assert contents(samples) == before


def test_ctrl_c_leaves_no_file_of_a_quote(console: Path, tmp_path: Path) -> None:
    status, _, err = interrupted(console, "quote", "--out", tmp_path / "out")
    assert status == 130
    assert "Traceback" not in err
    assert not (tmp_path / "out").exists() or list((tmp_path / "out").iterdir()) == []


NARROW = 60


@pytest.mark.parametrize(
    "command",
    [
        ("price", "JOB"), ("check", "JOB"), ("risk", "JOB"), ("reach", "JOB"), ("compare", "JOB"), ("sell", "JOB", "--price", "8000"),
        ("calendar", "JOB"), ("cut", "CUPBOARD"), ("price", "CUPBOARD"), ("explain",), ("explain", "hardwood"), ("explain", "laminate"), ("rates", "SHOP"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_nothing_is_wider_than_a_narrow_terminal(console: Path, command: tuple[str, ...]) -> None:
    """Sixty columns hold every line; what has no break in it, such as a path, may stand out."""
    paths = {"JOB": console, "CUPBOARD": console.with_name("boot_cupboard.toml"), "SHOP": console.parents[1]}
    done = quoting_run(*(paths.get(word, word) for word in command), env=environment(COLUMNS=str(NARROW)))
    assert done.returncode in (0, 3), done.stderr
    wide = [line for line in done.stdout.splitlines() if len(line) > NARROW and " " in line.strip(" \\")]
    assert wide == []


@pytest.mark.parametrize("command", [("pieces",), ("standing", "2026-002"), ("review", "2026-001"), ("review",), ("show", "2026-001")], ids=" ".join)  # fmt: skip
def test_the_ledger_too_fits_a_narrow_terminal(booked: Path, command: tuple[str, ...]) -> None:
    done = quoting_run(*command, cwd=booked, env=environment(COLUMNS=str(NARROW)))
    assert done.returncode == 0, done.stderr
    assert [line for line in done.stdout.splitlines() if len(line) > NARROW] == []
