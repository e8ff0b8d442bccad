"""Every answer tells the next command where there is one; the command told runs as it is written, with the same file and shop."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from end_to_end.command import environment, quoting_run

STEPS = {
    "check": ("check", "JOB"),
    "price": ("price", "JOB"),
    "price tried": ("price", "JOB", "--set", "pricing.margin=30 %"),
    "quote": ("quote", "JOB"),
    "risk": ("risk", "JOB"),
    "reach": ("reach", "JOB"),
    "compare": ("compare", "JOB", "--or", "pricing.margin=30 %"),
    "sell": ("sell", "JOB"),
    "cut": ("cut", "CUPBOARD"),
    "calendar": ("calendar", "JOB"),
    "convert": ("convert", "JOB", "a new bench.xlsx"),
}
PLACED = {"check", "price", "price tried", "quote", "risk", "reach", "compare", "sell", "cut", "calendar"}


def told(said: str) -> list[str]:
    """The words of the next command, as a shell splits them."""
    found = re.search(r"^Next: quoting ((?:.*\\\n)*.*)$", said, re.MULTILINE)
    assert found, said
    line = re.sub(r" {3,}everything: .*$", "", found[1])
    return shlex.split(line.replace("\\\n", ""))  # as a shell joins lines


@pytest.mark.parametrize("columns", ["60", pytest.param("100", marks=pytest.mark.exhaustive)])
@pytest.mark.parametrize("step", STEPS)
def test_the_next_command_runs(step: str, columns: str, samples: Path, tmp_path: Path) -> None:
    """From a job whose name has spaces in it, in a folder that is not its shop's."""
    jobs = samples / "tern_hollow" / "jobs"
    job = Path(shutil.copy(jobs / "ash_bench.toml", tmp_path / "Ruben's bench, no. 1.toml"))
    places = {"JOB": job.name, "CUPBOARD": str(jobs / "boot_cupboard.toml")}
    words = [places.get(word, word) for word in STEPS[step]]
    shop = ["--shop", "samples/tern_hollow"] if step in PLACED else []
    done = quoting_run(*words, *shop, cwd=tmp_path, env=environment(COLUMNS=columns))
    assert done.returncode in (0, 3), done.stderr
    after = told(done.stdout)
    if step != "convert":
        assert places["CUPBOARD" if step == "cut" else "JOB"] in after
        assert after[after.index("--shop") + 1] == "samples/tern_hollow"
    if step == "price tried":
        assert after[after.index("--set") + 1] == "pricing.margin=30 %"
    more = [] if "--shop" in after else ["--shop", "samples/tern_hollow"]
    then = quoting_run(*after, *more, cwd=tmp_path)
    assert then.returncode in (0, 3), (after, then.stderr)


BOOKED = {
    "pieces": ("pieces",),
    "standing": ("standing", "2026-002", "--on", "2026-09-21"),
    "review": ("review", "2026-001"),
    "review all": ("review",),
    "learn": ("learn",),
    "show": ("show", "2026-002"),
    "log": ("log", "2026-002", "used", "1 L", "laminating epoxy"),
    "log show": ("log", "2026-002", "--show"),
    "log file": ("log", "2026-002", "--csv", "log/counter_front.csv"),
    "change": ("change", "2026-002", "--job", "jobs/counter_front.toml", "--words", "as it is"),
    "issue": ("issue", "jobs/ash_bench.toml"),
    "daysheet": ("daysheet",),
    "backup": ("backup",),
    "ledger check": ("ledger", "check"),
    "rates": ("rates",),
}


@pytest.mark.parametrize("step", BOOKED)
def test_the_next_command_runs_in_a_shop_with_a_ledger(step: str, book: Path) -> None:
    done = quoting_run(*BOOKED[step], cwd=book)
    assert done.returncode in (0, 3), done.stderr
    then = quoting_run(*told(done.stdout), cwd=book)
    assert then.returncode in (0, 3), then.stderr


def test_every_state_of_a_piece_has_a_next_command_that_runs(book: Path) -> None:
    """Marked step by step; a piece that is done with has none."""
    quoting_run("issue", "jobs/ash_bench.toml", cwd=book)
    number = "2027-001"
    for state in ("agreed", "built", "delivered", "returned", "sold"):
        price = ("--price", "3800") if state == "sold" else ()
        done = quoting_run("mark", number, state, *price, cwd=book)
        assert done.returncode == 0, done.stderr
        then = quoting_run(*told(done.stdout), cwd=book)
        assert then.returncode in (0, 3), (state, then.stderr)
    quoting_run("issue", "jobs/padded_stool.toml", cwd=book)
    refused = quoting_run("mark", "2027-002", "refused", cwd=book)
    assert refused.returncode == 0, refused.stderr
    assert "Next:" not in refused.stdout


def test_data_are_told_no_next_command(samples: Path) -> None:
    job = samples / "tern_hollow" / "jobs" / "ash_bench.toml"
    done = quoting_run("price", job, "--json")
    assert "Next:" not in done.stdout + done.stderr


def test_after_an_issue_from_elsewhere_the_shop_is_named(samples: Path, tmp_path: Path) -> None:
    """Its ledger would not be found from here; in the shop folder the number will do."""
    shop = Path(shutil.copytree(samples / "tern_hollow", tmp_path / "shop"))
    done = quoting_run("issue", "shop/jobs/ash_bench.toml", cwd=tmp_path)
    assert done.returncode in (0, 3), done.stderr
    assert quoting_run(*told(done.stdout), cwd=tmp_path).returncode == 0
    again = quoting_run("issue", "jobs/ash_bench.toml", "--again", cwd=shop)
    assert "--shop" not in told(again.stdout)
