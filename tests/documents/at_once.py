"""Draw every paper of some jobs, each twice at once in two threads that take turns as often as they can, and then each alone.

To be run in a process of its own: `python at_once.py LEDGER_SHOP JOB ...`. Prints as JSON what differs, and what is left changed in
the process. The first to ask for the faces are two threads, too.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import tempfile
import warnings
from concurrent.futures import ThreadPoolExecutor
from contextlib import redirect_stdout
from datetime import date
from io import StringIO
from pathlib import Path
from threading import Barrier
from typing import TYPE_CHECKING, Any

from quoting.nesting.pattern import never
from quoting.runs.builds import Papers, review
from quoting.runs.convert import convert
from quoting.runs.cut import Asked, cut
from quoting.runs.pictures import pictures
from quoting.runs.pricing import calendar, quote
from quoting.runs.sell import sell
from quoting.runs.shops import daysheet

if TYPE_CHECKING:
    from collections.abc import Callable

DAY = date(2027, 3, 1)
TURN_S = 1e-5
SOLD = "2026-004"
"""A piece of the sample ledger that can be reviewed."""


def told(words: str) -> None:
    """Nobody waits."""


def of_job(job: Path, out: Path) -> None:
    """Every paper of a job, by the recipes that write them."""
    quote(job, None, DAY, (), out, False, True, told)
    pictures(job, None, DAY, (), out, False, told, told)
    calendar(job, None, DAY, (), out, False)
    sell(str(job), None, DAY, out, (), "", "", out, False)
    convert(job, out / "form.xlsx", told)
    if "[[board]]" in job.read_text(encoding="utf-8"):
        cut(job, None, DAY, (), Asked(None, out, False), told, never)


def of_ledger(shop: Path, out: Path) -> None:
    """Papers of what was issued: the day sheet, and the review of a piece."""
    daysheet(shop, DAY, out)
    review(shop, SOLD, Papers(out, False, True))


def drawn(draw: Callable[[Path], None], start: Callable[[], Any]) -> dict[str, bytes]:
    """The files that are drawn, by name; the record of what was written names the folder, and is none of them."""
    with tempfile.TemporaryDirectory() as made:
        start()
        draw(Path(made))
        return {
            path.name: path.read_bytes() for path in Path(made).iterdir() if not path.name.startswith(".")
        }


def state() -> list[object]:
    """What a paper must leave as it was, for whoever draws another."""
    return [dict(os.environ), repr(signal.getsignal(signal.SIGINT)), repr(warnings.filters), Path.cwd()]


def main() -> None:
    """Draw them all, and tell."""
    sys.setswitchinterval(TURN_S)
    shop, *jobs = map(Path, sys.argv[1:])
    drawings = {job.stem: lambda out, job=job: of_job(job, out) for job in jobs}
    drawings["ledger"] = lambda out: of_ledger(shop, out)
    before, differing, papers, said = state(), [], 0, StringIO()
    with redirect_stdout(said):
        for name, draw in drawings.items():
            together = Barrier(2)
            with ThreadPoolExecutor(2) as threads:
                running = [threads.submit(drawn, draw, together.wait) for _ in range(2)]
                both = [one.result() for one in running]
            alone = drawn(draw, lambda: None)
            papers += len(alone)
            differing += [
                f"{name}: {paper}" for paper in alone for one in both if one.get(paper) != alone[paper]
            ]
    print(
        json.dumps(
            {"papers": papers, "differing": differing, "kept": state() == before, "said": said.getvalue()}
        )
    )


if __name__ == "__main__":
    main()
