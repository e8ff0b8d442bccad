"""What was acknowledged is on disk, and nothing is there by half, wherever a run is cut off."""

from __future__ import annotations

import random
import re
import time
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import quoting_process, quoting_run
from ledger.books import note, quiet
from ledger.terminals import acknowledged, added, all_added, command, worker

from quoting.ledger import entries, sound
from quoting.ledger.store import LEDGER_FILE, reading, writing
from quoting.written import RECORD

if TYPE_CHECKING:
    from pathlib import Path

KILLS, SOME = 250, 25
LOOKS_EACH = 10  # kills between looks at every page and fingerprint
ENDLESS = 10**6
JOURNAL = f"{LEDGER_FILE}-journal"


def journal(folder: Path) -> tuple[int, int]:
    """Size and moment of the journal; (0, 0) where none holds anything. A kill can leave one that the next writer takes over."""
    try:
        found = (folder / JOURNAL).stat()
    except FileNotFoundError:
        return 0, 0
    return (found.st_size, found.st_mtime_ns) if found.st_size else (0, 0)


def killed_worker(folder: Path, name: str, rng: random.Random) -> set[str]:
    """Start a worker, kill it some moment later, and give what it acknowledged: one in ten dies while it starts."""
    with worker(folder, name, ENDLESS) as process:
        assert process.stdout is not None
        # by what it has done and then by the clock: on a busy machine a clock alone would let it do nothing
        lines = 0 if rng.random() < 0.1 else rng.randint(1, 3)
        said = "".join(process.stdout.readline() for _ in range(lines))
        time.sleep(rng.uniform(0.0, 0.03))
        process.kill()
        return acknowledged(said + process.stdout.read())


@pytest.mark.parametrize("least", [SOME, pytest.param(KILLS, marks=pytest.mark.exhaustive)])
def test_after_many_kills_every_acknowledged_entry_and_quote_is_there_whole(
    tmp_path: Path, least: int
) -> None:
    """So many kills at least, and more until enough came in the middle of a commit."""
    rng = random.Random(20270301)
    told: set[str] = set()
    killed, cut_off = 0, 0  # the second: kills in the middle of a commit, that left a journal to go back by
    while killed < least or (cut_off <= killed // 50 and killed < KILLS):
        told |= killed_worker(tmp_path, str(killed), rng)
        killed += 1
        cut_off += journal(tmp_path) != (0, 0)
        if not (tmp_path / LEDGER_FILE).exists():
            assert not told
            continue
        with reading(tmp_path) as book:
            there = added(book)
            assert told <= set(there)
            assert len(there) == len(set(there))
            if killed % LOOKS_EACH == 1:
                assert sound.faults(book) == []
    with reading(tmp_path) as book:
        assert sound.faults(book) == []
    with writing(tmp_path, quiet) as book:
        entries.add(book, note("goes on"))
    assert [path.name for path in tmp_path.iterdir()] == [LEDGER_FILE]
    assert len(told) > killed
    assert cut_off > killed // 50


def test_what_a_kill_left_unacknowledged_is_whole_or_not_there(tmp_path: Path) -> None:
    rng = random.Random(7)
    for kill in range(20):
        killed_worker(tmp_path, str(kill), rng)
        with reading(tmp_path) as book:
            names = "SELECT count(*) FROM quote_file GROUP BY quote"
            assert {row[0] for row in book.execute(names)} <= {3}
            states = "SELECT quote, count(*) FROM entry WHERE kind = 'state' GROUP BY quote"
            assert [row[1] for row in book.execute(states)] == [1] * sound.counts(book)["quote"]


# --- the real command

RUNS, SOME_RUNS = 22, 5
AT_THE_LEDGER = 13  # of all runs, those that are killed while they write into the ledger
LEDGER_S = 0.006  # what an issue takes to write into the ledger, and a little more
JOBS = ("ash_bench", "flax_screen")
WHOLE = [("document", 3), ("result", 1), ("source", 4)]
OWN = {"jobs", "log", "issued", "shop.toml", "prices.csv", LEDGER_FILE}
HARMLESS = re.compile(r"\.quoting-\w+\.tmp")  # a document on its way to its name; its bytes are in the ledger


def killed_issue(folder: Path, job: str, delay_s: float, at_the_ledger: bool) -> str:
    """Issue a job and kill it after a while, or so long after it began to write into the ledger; gives its output."""
    before = journal(folder)
    with command("issue", folder / "jobs" / f"{job}.toml", "--again") as process:
        if at_the_ledger:
            while process.poll() is None and journal(folder) in (before, (0, 0)):
                time.sleep(0.0002)
        time.sleep(delay_s)
        process.kill()
        return process.communicate()[0]


@pytest.mark.parametrize("least", [SOME_RUNS, pytest.param(RUNS, marks=pytest.mark.exhaustive)])
def test_an_issue_that_is_killed_at_any_point_is_whole_or_was_never_there(samples: Path, least: int) -> None:
    """So many runs at least, and more until one has left a journal to go back by."""
    rng = random.Random(14)
    began = time.monotonic()
    assert quoting_process("issue", samples / "jobs" / "ash_bench.toml").returncode == 0
    whole_s = time.monotonic() - began
    far = RUNS - AT_THE_LEDGER
    kills = [(LEDGER_S * (n + rng.random()) / AT_THE_LEDGER, True) for n in range(AT_THE_LEDGER)]
    kills += [(1.1 * whole_s * (n + rng.random()) / far, False) for n in range(far)]
    rng.shuffle(kills)
    told, cut_off, killed = {"2027-001"}, 0, 0
    for run, (delay_s, at_the_ledger) in enumerate(kills):
        if run >= least and cut_off:
            break
        out = killed_issue(samples, JOBS[run % len(JOBS)], delay_s, at_the_ledger)
        killed += 1
        cut_off += journal(samples) != (0, 0)
        told |= {line.split()[1].rstrip(",") for line in out.splitlines() if line.startswith("issued ")}
        with reading(samples) as book:
            assert sound.faults(book) == []
            rows = book.execute(
                "SELECT role, count(*) FROM quote_file GROUP BY quote, role ORDER BY quote, role"
            )
            assert rows.fetchall() == WHOLE * sound.counts(book)["quote"]
    assert quoting_run("log", "2027-001", "note", "goes on", "--shop", samples).returncode == 0
    done = quoting_run("ledger", "check", "--shop", samples)
    assert (done.returncode, ": sound\n" in done.stdout) == (0, True), done.stdout
    there = [line.split()[1] for line in all_added(samples) if line.startswith("quote")]
    assert {path.name for path in samples.iterdir()} == OWN
    assert sorted(there) == [f"2027-{serial:03}" for serial in range(1, len(there) + 1)]
    assert told <= set(there)
    assert cut_off > 0
    assert (
        1 + killed - len(there) > killed // RUNS
    )  # of all, two at least died before they were there; of some, one
    for number in there:  # the files of an issue that died before it had written them
        assert (
            quoting_run("show", number, "--out", samples.parent / "again", "--shop", samples).returncode == 0
        )
    strays = {path.name for path in (samples / "issued").iterdir() if not path.name.startswith("2027-")}
    assert [name for name in strays - {RECORD} if not HARMLESS.fullmatch(name)] == []
