"""Draws of whole jobs: certain inputs give the plan, streams do not depend on what else there is, bounds are counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from risk.jobs import JOBS, brief_of, made_certain

from quoting.costing.model import cost
from quoting.costing.shared import trip_beyond
from quoting.pick import likely
from quoting.risk import drawn as module
from quoting.risk.drawn import chance, drawn, first_order, order_interval, quantiles

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize("name", [name for name in JOBS if name != "flax_screen"])
def test_certain_inputs_give_the_unrounded_plan(tmp_path: Path, name: str) -> None:
    """Zero width everywhere: every draw is the plan to 1e-9 of it. (A fitted ply thickness is never certain.)"""
    brief = brief_of(tmp_path, name, made_certain, made_certain)
    run, plan = drawn(brief, 1, 50), cost(brief, likely)
    assert run.streams == {} or {one for one in run.streams if not one.endswith(".chance")} == set()
    assert run.planned == pytest.approx(float(plan.planned), rel=1e-9)
    assert run.beyond == pytest.approx(float(trip_beyond(brief, likely)), rel=1e-9)
    assert run.labour_h == pytest.approx(float(plan.labour_h), rel=1e-9)
    assert run.bench_d == pytest.approx(float(plan.bench_days(brief.shop.shop.week.hours)), rel=1e-9)


def test_the_same_seed_gives_the_same_bits_however_many_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And another seed gives others."""
    brief = brief_of(tmp_path, "library_console")
    first = drawn(brief, 5, 3000)
    monkeypatch.setattr(module, "AT_ONCE", 700)
    again = drawn(brief, 5, 3000)
    assert np.array_equal(first.planned, again.planned)
    assert np.array_equal(first.rounds, again.rounds)
    assert not np.array_equal(first.planned, drawn(brief, 6, 3000).planned)


def test_another_part_or_another_order_moves_no_draws(tmp_path: Path) -> None:
    """Streams belong to the names of inputs; the sum of lines in another order differs by rounding alone."""
    for name in ("plain", "turned", "more"):
        (tmp_path / name).mkdir()

    def turned(raw: dict) -> None:
        for trade in ("hardwood", "glass", "buy"):
            raw[trade] = list(reversed(raw[trade]))

    def more(raw: dict) -> None:
        raw["work"].insert(0, {"task": "carve a crest", "hours": "4 .. 6 .. 12 h"})

    plain = drawn(brief_of(tmp_path / "plain", "library_console"), 9, 2000)
    other = drawn(brief_of(tmp_path / "turned", "library_console", turned), 9, 2000)
    larger = drawn(brief_of(tmp_path / "more", "library_console", more), 9, 2000)
    assert other.planned == pytest.approx(plain.planned, rel=1e-13)
    assert set(larger.streams) - set(plain.streams) == {"work.carve-a-crest.hours"}
    for name, stream in plain.streams.items():
        assert np.array_equal(stream, other.streams[name])
        assert np.array_equal(stream, larger.streams[name])
    assert np.all(larger.planned > plain.planned)


def test_draws_beyond_a_bound_are_counted(tmp_path: Path) -> None:
    """A ply that may take so long that no block fits the working time: the share of draws held back is told."""

    def slow(raw: dict) -> None:
        raw["laminate"][0]["time_per_ply"] = "3 .. 4 .. 60 min"

    run = drawn(brief_of(tmp_path, "library_console", slow), 2, 20_000)
    ((name, share),) = run.clipped.items()
    assert name == "laminate.drawer-front: no block fits the working time"
    assert 0 < share < 0.05
    wider = "3 .. 4 .. 70 min"

    def slower(raw: dict) -> None:
        raw["laminate"][0]["time_per_ply"] = wider

    assert drawn(brief_of(tmp_path, "library_console", slower), 2, 20_000).clipped[name] > share


@given(st.integers(1, 3000), st.sampled_from([0.1, 0.5, 0.8, 0.9]))
def test_an_order_interval_holds_its_quantile(n: int, level: float) -> None:
    """Its order numbers stand around n times the level, and no draw is asked for that is not there by much."""
    first, last = order_interval(n, level)
    assert 0 <= first <= n * level + 1 and n * level <= last <= n + 1


@given(st.integers(0, 2**32), st.integers(1, 400))
def test_quantiles_do_not_fall_and_errors_are_not_negative(seed: int, n: int) -> None:
    """Also of very few draws, and of draws that are all the same."""
    values = np.random.default_rng(seed).normal(size=n)
    found = quantiles(values)
    assert [one.value for one in found] == sorted(one.value for one in found)
    assert all(one.error >= 0 for one in found)
    assert all(one.error == 0 and one.value == 3.0 for one in quantiles(np.full(n, 3.0)))


@given(st.integers(0, 2**32), st.integers(2, 500))
def test_a_share_is_a_share(seed: int, n: int) -> None:
    """At most 1, an estimate of nothing at times below 0, whatever the draws; nothing of a result that does not vary."""
    stream = np.random.default_rng(seed)
    x, y = stream.random(n), stream.random(n)
    assert -1 <= first_order(x, y) <= 1
    assert first_order(x, np.ones(n)) == 0
    assert first_order(y, y) > 0.5 or n < 200


def test_a_chance_knows_its_error() -> None:
    """sqrt(p (1 - p) / n), exact."""
    found = chance(np.arange(400) < 100)
    assert (found.share, found.error) == (0.25, pytest.approx((0.25 * 0.75 / 400) ** 0.5))


def test_the_noise_of_many_shares_does_not_add_up() -> None:
    """Five hundred inputs that do nothing: together they explain nothing, within what chance leaves of a sum."""
    stream = np.random.default_rng(4)
    result = stream.normal(size=20_000)
    shares = [first_order(stream.random(20_000), result) for _ in range(500)]
    assert abs(sum(shares)) < 0.05 < sum(max(share, 0.0) for share in shares)
