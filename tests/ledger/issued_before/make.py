"""How the ledger beside this file was made, by version 0.1.0 of the tool, and what it said of itself then.

It was run by hand, once: `python tests/ledger/issued_before/make.py FOLDER`. What lies here is never made anew, for it is what makers have on
their disks: a later version that writes another form leaves a folder of its own beside this one, made by a script like this.
"""

from __future__ import annotations

import hashlib
import json
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent

BUILT = (
    # A piece that lost money, finished.
    'issue jobs/lectern.toml',
    "mark 2026-001 accepted --on 2026-02-09",
    "log 2026-001 --csv log/lectern.csv",
    "mark 2026-001 built --on 2026-03-20",
    "mark 2026-001 delivered --on 2026-03-24",
    # Every trade in one piece, with an electronic quote; revised, accepted in another wood, changed by the maker.
    "issue jobs/library_console.toml --xml",
    "issue jobs/library_console_revised.toml --revises 2026-002 --xml",
    'mark 2026-002b accepted --option "in cherry" --on 2026-05-18 --words "by letter"',
    "log 2026-002 --csv log/library_console.csv",
    'change 2026-002 --job jobs/library_console_changed.toml --words "runners on the third drawer" --mine --on 2026-05-29',
    "log 2026-002 hours 9h assembly --on 2026-06-09",
    "log 2026-002 hours 6h assembly --on 2026-06-09 --instead-of LAST",
    "log 2026-002 used 0.3L 'hard wax oil' --on 2026-06-10",
    "log 2026-002 void LAST --on 2026-06-10 --words 'of another piece'",
    # A piece for sale, sold.
    "issue jobs/ash_bench.toml",
    "mark 2026-003 built --on 2026-07-01",
    "mark 2026-003 'on consignment' --on 2026-07-03",
    "mark 2026-003 sold --price 4500 --on 2026-08-01",
    "log 2026-003 hours 30h bench --about --on 2026-06-30",
    "log 2026-003 received 4500 --on 2026-08-01",
    "log 2026-003 refunded 50 --on 2026-08-03 --words 'a scratch from the carrier'",
    # A laminate in the middle of its build, after a change that was agreed.
    "issue jobs/counter_front.toml",
    "mark 2026-004 accepted --on 2026-08-24",
    "log 2026-004 --csv log/counter_front.csv",
    "change 2026-004 --job jobs/counter_front_longer.toml --words 'four inches longer' --agreed 2026-09-20",
    # Two more finished pieces: what is learned rests on three.
    "issue jobs/wall_shelf.toml",
    "mark 2026-005 accepted --on 2026-10-01",
    "log 2026-005 --csv log/wall_shelf.csv",
    "mark 2026-005 built --on 2026-10-21",
    "mark 2026-005 delivered --on 2026-10-22",
    "issue jobs/side_table.toml",
    "mark 2026-006 accepted --on 2026-10-08",
    "log 2026-006 --csv log/side_table.csv",
    "mark 2026-006 built --on 2026-11-02",
    "mark 2026-006 delivered --on 2026-11-03",
    # Cut by a plan, from boards tallied at the yard and stock of the rack.
    "issue jobs/boot_cupboard.toml",
    "mark 2026-007 accepted --on 2026-11-12",
    "log 2026-007 --csv log/boot_cupboard.csv",
    # The shop as a whole.
    "log shop paid 800 --for workshop_rent --on 2026-10-01",
    "log shop hours 2h --task sharpening --on 2026-10-02",
)  # fmt: skip
"""What the maker did, in order; LAST is the newest entry of the ledger."""

QUOTES = ("2026-001", "2026-002", "2026-002b", "2026-003", "2026-004", "2026-005", "2026-006", "2026-007")
PIECES = ("2026-001", "2026-002", "2026-003", "2026-004", "2026-005", "2026-006", "2026-007")
IN_BUILD = (("2026-002", "2026-06-10"), ("2026-004", "2026-09-21"), ("2026-007", "2026-11-17"))
AS_DATA = ("", " --json")

SAID = {
    **{f"show {number}": f"show {number}" for number in QUOTES},
    **{f"log {number}": f"log {number} --show" for number in (*PIECES, "shop")},
    **{f"review {number}": f"review {number}" for number in ("2026-001", "2026-003", "2026-005", "2026-006")},
    **{f"standing {number}": f"standing {number} --on {day}" for number, day in IN_BUILD},
    "standing 2026-001 in its build": "standing 2026-001 --on 2026-02-26",
    "pieces": "pieces --on 2026-11-20",
    "pieces all": "pieces --all --on 2026-11-20",
    "pieces in september": "pieces --all --on 2026-09-17",
    "review": "review",
    "learn": "learn",
}
"""What is asked of the ledger, each in words and as data, by the name of the file with the answer."""

ONLY_WORDS = {
    "ledger check": "ledger check",
    "change asked": "change 2026-004 --job jobs/counter_front_asked.toml",
}
"""What is only said in words. A change that is not agreed records nothing: it is reckoned from the files that the quote froze."""


def said(folder: Path, command: str) -> str:
    """What a command says in the shop folder, 100 columns wide. Raises CalledProcessError where it fails."""
    words = [sys.executable, "-m", "quoting", *shlex.split(command)]
    environment = {**os.environ, "COLUMNS": "100"}
    done = subprocess.run(
        words, cwd=folder, env=environment, stdout=subprocess.PIPE, encoding="utf-8", check=True
    )
    return done.stdout


def make(folder: Path) -> None:
    """Copy the shop without its ledger, carry out the steps, and keep what the ledger says and gives back."""
    shop, expected = folder / "shop", folder / "expected"
    shutil.copytree(HERE / "shop", shop, ignore=shutil.ignore_patterns("*.sqlite"))
    expected.mkdir()
    last = ""
    for command in BUILT:
        told = said(shop, command.replace("LAST", last))
        print(told, end="")
        if command.startswith("log "):
            last = newest(shop, command.split()[1])
    shutil.rmtree(shop / "issued")  # the ledger has them
    asked = {f"{name}{how}": command + how for name, command in SAID.items() for how in AS_DATA} | ONLY_WORDS
    for name, command in asked.items():
        text = f"$ quoting {command}\n{said(shop, command)}"
        file = name.replace(" --json", " as data").replace(" ", "_")
        (expected / f"{file}.txt").write_text(text, encoding="utf-8")
    lines: list[str] = []
    for number in QUOTES:
        said(shop, f"show {number} --out papers")
        papers = sorted((shop / "papers").glob(f"{number} *"))
        lines += [f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n" for path in papers]
        shutil.rmtree(shop / "papers")
    (expected / "papers.sha256").write_text("".join(lines), encoding="utf-8")


def newest(shop: Path, number: str) -> str:
    """The number of the newest entry of a piece."""
    return str(json.loads(said(shop, f"log {number} --show --json"))["entries"][-1]["id"])


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("write a new folder: python make.py FOLDER")
    make(Path(sys.argv[1]))
