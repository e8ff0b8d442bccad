"""A job by its bare name, a quote by what its number ends with, and one right name that Enter takes at a terminal."""

from __future__ import annotations

import fcntl
import os
import pty
import shutil
import signal
import subprocess
import termios
from pathlib import Path

import pytest
from end_to_end.command import COMMAND, environment, quoting_run

# --- jobs


def title(done: subprocess.CompletedProcess[str]) -> str:
    assert done.returncode in (0, 3), done.stderr
    return done.stdout.splitlines()[0]


@pytest.mark.parametrize("named", ["ash_bench", "ash-bench", "Ash bench", "ash_bench.toml", "jobs/ash_bench"])
def test_a_job_is_found_from_its_shop_folder(named: str, samples: Path) -> None:
    assert title(quoting_run("price", named, cwd=samples / "tern_hollow")).startswith("Ash hall bench")


@pytest.mark.parametrize("where", ["tern_hollow/jobs", "tern_hollow/log"])
def test_a_job_is_found_from_within_the_shop(where: str, samples: Path) -> None:
    assert title(quoting_run("price", "ash_bench", cwd=samples / where)).startswith("Ash hall bench")


def test_a_job_is_found_in_the_shop_that_is_named(samples: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    done = quoting_run("price", "ash_bench", "--shop", samples / "tern_hollow", cwd=tmp_path / "elsewhere")
    assert title(done).startswith("Ash hall bench")


def test_every_command_that_takes_a_job_finds_it(samples: Path) -> None:
    shop = samples / "tern_hollow"
    for words in (
        ("check",), ("quote",), ("risk", "--draws", "500"), ("reach",), ("sell",), ("calendar",), ("pictures", "--out", "out"),
        ("compare", "--or", "pricing.margin=30 %"),
    ):  # fmt: skip
        done = quoting_run(words[0], "ash_bench", *words[1:], cwd=shop)
        assert done.returncode == 0, (words, done.stderr)
    assert quoting_run("cut", "boot_cupboard", cwd=shop).returncode == 0
    assert quoting_run("convert", "ash_bench", "new.xlsx", cwd=shop).returncode == 0
    assert quoting_run("issue", "ash_bench", cwd=shop).returncode == 0
    assert title(quoting_run("price", "new", cwd=shop)).startswith("Ash hall bench")  # a spreadsheet


def test_several_jobs_of_one_name_are_listed(samples: Path) -> None:
    shop = samples / "tern_hollow"
    shutil.copy(shop / "jobs" / "ash_bench.toml", shop / "ash_bench.toml")
    done = quoting_run("price", "ash_bench", cwd=shop)
    assert done.returncode == 2
    assert f"{Path('ash_bench.toml')}, {Path('jobs/ash_bench.toml')}" in done.stderr


def test_a_file_that_is_there_is_taken_before_any_other(samples: Path) -> None:
    shop = samples / "tern_hollow"
    shutil.copy(shop / "jobs" / "side_table.toml", shop / "ash_bench.toml")
    assert title(quoting_run("price", "ash_bench.toml", cwd=shop)).startswith("Side table")


def test_a_job_that_is_not_there_is_told_with_the_nearest_one(samples: Path) -> None:
    shop = samples / "tern_hollow"
    done = quoting_run("price", "ash_bnch", cwd=shop)
    assert done.returncode == 2
    assert 'found no job "ash_bnch"; write "ash_bench"' in done.stderr
    assert "nowhere.toml" in quoting_run("price", "nowhere.toml", cwd=shop).stderr


# --- numbers


def test_a_quote_is_found_by_what_its_number_ends_with(book: Path) -> None:
    for number in ("2", "002"):
        assert "2026-002" in quoting_run("log", number, "--show", cwd=book).stdout
    assert "2026-002" in quoting_run("standing", "2", "--on", "2026-09-21", cwd=book).stdout
    assert "2026-002" in quoting_run("sell", "2", "--price", "5000", cwd=book).stdout
    logged = quoting_run("log", "2", "note", "the oil is late", cwd=book)
    assert (logged.returncode, logged.stdout[:8]) == (0, "2026-002")


def test_an_errand_and_a_new_job_take_the_names_that_prices_take(book: Path) -> None:
    """A piece that is named twice, by its number and by what that ends with, is bought for once."""
    once = quoting_run("buying", "2026-002", "jobs/lectern.toml", "--json", cwd=book)
    twice = quoting_run("buying", "2", "2026-002", "lectern", "Lectern", "--json", cwd=book)
    assert (once.returncode, twice.stdout) == (0, once.stdout)
    begun = quoting_run("start", "counter_again.toml", "--from", "2", cwd=book)
    assert begun.returncode == 0, begun.stderr


def test_where_several_end_so_the_one_in_hand_is_meant(book: Path) -> None:
    """2026-001 is delivered; 2027-001, which is issued after it, is in hand."""
    assert quoting_run("issue", "ash_bench", cwd=book).returncode == 0
    assert "2027-001" in quoting_run("log", "1", "--show", cwd=book).stdout
    assert "2026-001" in quoting_run("log", "2026-001", "--show", cwd=book).stdout


def test_where_it_is_not_clear_which_is_meant_all_are_listed(book: Path) -> None:
    for job in ("ash_bench", "padded_stool"):
        assert quoting_run("issue", job, cwd=book).returncode == 0
    done = quoting_run("log", "2", "note", "which", cwd=book)
    assert done.returncode == 2
    assert "found several quotes that end with 002; write one of: 2026-002, 2027-002" in done.stderr


def test_a_number_that_none_ends_with_is_told(book: Path) -> None:
    done = quoting_run("log", "77", "--show", cwd=book)
    assert done.returncode == 2
    assert 'found no quote that ends with "77"' in done.stderr


# --- one right name


ASKED = b"leaves it: "


def own_terminal() -> None:
    """In a new process: its terminal is its own, so that Ctrl-C reaches it, however the tests were started."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def at_a_terminal(cwd: Path, typed: bytes, *arguments: str) -> tuple[int, str]:
    """A command at a terminal at which somebody types once they are asked, and everything the terminal shows."""
    master, slave = pty.openpty()
    process = subprocess.Popen(
        [*COMMAND, *arguments], cwd=cwd, stdin=slave, stdout=slave, stderr=slave, env=environment(TERM="dumb"),
        start_new_session=True, preexec_fn=own_terminal,
    )  # fmt: skip
    os.close(slave)
    sent, answered = b"", False
    while True:
        try:
            piece = os.read(master, 65536)
        except OSError:  # the other end is closed
            break
        if not piece:
            break
        sent += piece
        if not answered and ASKED in sent:
            answered = os.write(master, typed) > 0
    os.close(master)
    return process.wait(timeout=60), sent.decode("utf-8")


WRONG = {
    "WHAT": ("log", "2026-002", "used", "1 L", "laminating epxy"),
    "KIND": ("log", "2026-002", "usd", "1 L", "laminating epoxy"),
    "NUMBER": ("log", "2026-0012", "used", "1 L", "laminating epoxy"),
    "option": ("log", "2026-002", "used", "1 L", "laminating epoxy", "--receit", "R 7"),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_enter_takes_the_name_that_is_offered(wrong: str, book: Path) -> None:
    status, shown = at_a_terminal(book, b"\n", *WRONG[wrong])
    assert "Enter takes" in shown
    assert (status, shown.count("logged 2")) == (0, 1), shown


@pytest.mark.parametrize(
    "typed", [b"n\n", b" \n", b"\x04", b"\x03"], ids=["no", "a space", "an end", "Ctrl-C"]
)
def test_anything_else_leaves_it(typed: bytes, book: Path) -> None:
    before = (book / "ledger.sqlite").read_bytes()
    status, shown = at_a_terminal(book, typed, *WRONG["WHAT"])
    assert status == 2, shown
    assert (book / "ledger.sqlite").read_bytes() == before


def test_without_a_terminal_nothing_is_asked(book: Path) -> None:
    done = quoting_run(*WRONG["WHAT"], cwd=book)
    assert done.returncode == 2
    assert 'write "laminating epoxy"' in done.stderr
    assert "Enter" not in done.stderr


def test_a_name_in_a_file_is_never_changed_by_enter(samples: Path) -> None:
    """Even where the same word stands on the command line."""
    job = samples / "tern_hollow" / "jobs" / "ash_bench.toml"
    text = job.read_text("utf-8")
    job.write_text(text.replace('species = "white ash"', 'species = "white as"', 1), "utf-8")
    status, shown = at_a_terminal(
        job.parent, b"\n", "price", "ash_bench.toml", "--set", "piece.title=white as"
    )
    assert status == 2
    assert "Enter" not in shown
    assert 'found "white as"' in shown
