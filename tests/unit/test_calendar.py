"""The calendar fills exactly the days that the quote promises, and nothing starts before what it waits for."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from sharing import DAY

from quoting import runs
from quoting.job.starters import shipped
from quoting.pricing.bench import step_words
from quoting.pricing.bench_record import Step

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

JOBS = sorted(Path(str(shipped("sample_jobs"))).rglob("jobs/*.toml"))
CONSOLE = next(job for job in JOBS if job.stem == "library_console")
SCREEN = next(job for job in JOBS if job.stem == "flax_screen")

CHANGED = [
    (CONSOLE, ()),
    (CONSOLE, ("shop.booked_ahead=0 weeks",)),
    (CONSOLE, ("shop.week.hours=8", "casting.inlay.pour_depth=1/8 in")),
    (CONSOLE, ("coating.inlay-flood-coat.coats=30",)),
    (CONSOLE, ("finish.oil.coats=9", "piece.quantity=3")),
    (SCREEN, ("shop.week.hours=90", "laminate.leaf.plies_per_round=1")),
    (SCREEN, ("shop.booked_ahead=20 weeks", "finish.oil.dry_time=5 h")),
]


def assert_fills(priced: Priced) -> None:
    steps, days = priced.calendar, priced.quantities
    assert (steps[0].kind, steps[0].starts_d, steps[-1].kind) == ("order", 0.0, "ready")
    ends = max(one.ends_d for one in steps[:-1])
    assert steps[-1].ends_d == ends == pytest.approx(days["lead_days"], rel=1e-12)
    built = [one for one in steps if one.kind in {"bench", "finishing", *step_words()}]
    begins = min(one.starts_d for one in built)
    assert ends - begins == pytest.approx(days["bench_days"], rel=1e-12)
    assert begins == max((one.ends_d for one in steps if one.kind in ("lead", "booked")), default=0.0)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_samples_fill_their_days(job: Path) -> None:
    assert_fills(runs.price(job, None, DAY))


@pytest.mark.parametrize(("job", "settings"), CHANGED)
def test_changed_jobs_fill_their_days(job: Path, settings: tuple[str, ...]) -> None:
    assert_fills(runs.price(job, None, DAY, settings))


def test_steps_of_a_part_follow_one_another_and_stages_wait() -> None:
    """A step starts when the one before it is cured; coats wait for the bench, finishes for the coats."""
    steps = runs.price(CONSOLE, None, DAY).calendar
    of = {
        path: [one for one in steps if one.part == path] for path in {one.part for one in steps if one.part}
    }
    rounds, coats, oil = of["laminate.drawer-front"], of["coating.inlay-flood-coat"], of["finish.oil"]
    assert [one.number for one in rounds] == [1, 2]
    assert [one.hours for one in (rounds[0], coats[0], oil[0], of["casting.inlay"][0])] == [12, 24, 24, 48]
    for chain in (rounds, coats, oil):
        for before, after in pairwise(chain):
            assert after.starts_d == pytest.approx(before.ends_d)
    bench = [one.ends_d for one in steps if one.kind in ("bench", "round", "pour")]
    assert coats[0].starts_d == pytest.approx(max(bench))
    assert oil[0].starts_d == pytest.approx(coats[-1].ends_d)


def test_dates_count_from_the_day_of_the_order() -> None:
    """Day 21.0 to 22.2 from 1 February starts on the 22nd and is over by the 24th; nothing ends past year 9999."""
    step = Step("round", "leaf", 1, 1, 21.0, 22.2)
    assert step.first_day(date(2027, 2, 1)) == date(2027, 2, 22)
    assert step.last_day(date(2027, 2, 1)) == date(2027, 2, 24)
    assert step._replace(ends_d=23.0 + 1e-12).last_day(date(2027, 2, 1)) == date(2027, 2, 24)
    assert step._replace(ends_d=1e9).last_day(date(2027, 2, 1)) == date.max
