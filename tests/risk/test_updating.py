"""Normal updating: precision-weighted means, least squares shrunk to the prior, and draws that stay where nothing was learnt."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.pick import draws, known, likely
from quoting.risk.updating import Belief, held, line, moved, updated
from quoting.values import Uncertain

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from quoting.values import Num

PLY = Uncertain(0.50, 0.55, 0.62, "ply")


def belief(*sds: float, middle: Sequence[float] = ()) -> Belief:
    names = tuple(f"x{i}" for i in range(len(sds)))
    return Belief(names, np.log(np.array(middle or [1.0] * len(sds))), np.diag(np.square(sds)))


def test_one_measurement_weighs_by_its_precision() -> None:
    """Prior sd 20 %, measurement 10 %: 1/v = 25 + 100, and the mean goes 4/5 of the way (Gelman et al., sec. 2.5, from memory)."""
    after = updated(belief(0.2), lambda values: [values["x0"]], [1.5], [0.1])
    assert after.spread("x0") == pytest.approx(1 / math.sqrt(125))
    assert math.log(after.middle("x0")) == pytest.approx(0.8 * math.log(1.5))


def test_several_measurements_are_as_good_as_their_mean() -> None:
    many = updated(belief(0.3), lambda values: [values["x0"]] * 4, [1.1, 1.2, 1.3, 1.25], [0.2] * 4)
    mean = math.exp(np.mean(np.log([1.1, 1.2, 1.3, 1.25])))
    one = updated(belief(0.3), lambda values: [values["x0"]], [mean], [0.1])
    assert many.middle("x0") == pytest.approx(one.middle("x0"))
    assert many.spread("x0") == pytest.approx(one.spread("x0"))


def test_a_learning_curve_of_many_rounds_is_the_least_squares_fit() -> None:
    """T = T1 k^log2(r): with a prior that knows next to nothing, first time and rate are those of the log-log line."""
    rounds = np.arange(1, 13)
    times = 2.0 * rounds ** math.log2(0.88) * np.exp(np.random.default_rng(1).normal(0, 0.05, 12))

    def expected(values: Mapping[str, Num]) -> list[Num]:
        return [values["x0"] * np.power(np.float64(k), np.log2(values["x1"])) for k in rounds]

    vague = belief(50.0, 50.0, middle=(2.0, 0.9))
    found = updated(vague, expected, list(times), [0.05] * 12)
    fit = line(np.log(rounds), np.log(times))
    assert math.log(found.middle("x0")) == pytest.approx(fit.intercept, abs=1e-4)
    assert math.log2(found.middle("x1")) == pytest.approx(fit.slope, abs=1e-4)
    errors = 0.05 * np.sqrt(
        np.diag(
            np.linalg.inv(
                np.array([[12, np.log(rounds).sum()], [np.log(rounds).sum(), (np.log(rounds) ** 2).sum()]])
            )
        )
    )
    assert found.spread("x0") == pytest.approx(errors[0], rel=1e-3)
    assert found.spread("x1") == pytest.approx(errors[1] * math.log(2), rel=1e-3)


def test_few_rounds_stay_near_the_prior() -> None:
    """Two rounds at odds with a rate of 88 % move it a little; twelve move it to where they lie."""

    def fitted(count: int) -> float:
        rounds = range(1, count + 1)
        times = [float(k) ** math.log2(0.70) for k in rounds]

        def expected(values: Mapping[str, Num]) -> list[Num]:
            return [values["x0"] * np.power(np.float64(k), np.log2(values["x1"])) for k in rounds]

        return updated(belief(0.3, 0.035, middle=(1.0, 0.88)), expected, times, [0.1] * count).middle("x1")

    assert 0.86 < fitted(2) < 0.88
    assert fitted(2) > fitted(6) > fitted(12) > fitted(40) > 0.70
    assert fitted(40) < 0.75


def test_nothing_measured_leaves_every_draw_as_it_was() -> None:
    streams: dict[str, np.ndarray] = {}
    drawn = draws(7, 5000, streams)(PLY)
    before = held(streams, ["ply"])
    assert updated(before, lambda _: [], [], []) is before
    same = moved(before, before, streams)["ply"]
    assert np.allclose(same, drawn, rtol=1e-12)


def test_draws_move_to_what_was_learnt() -> None:
    streams: dict[str, np.ndarray] = {}
    draws(7, 20_000, streams)(PLY)
    before = held(streams, ["ply"])
    after = updated(before, lambda values: [18 * values["ply"]], [18 * 0.52], [0.01])
    now = moved(before, after, streams)["ply"]
    assert np.std(np.log(now)) == pytest.approx(after.spread("ply"), rel=1e-9)
    assert np.mean(np.log(now)) == pytest.approx(math.log(after.middle("ply")), rel=1e-9)
    assert after.spread("ply") < 0.01 < before.spread("ply")


@given(st.floats(0.05, 1.0), st.floats(0.01, 1.0), st.floats(0.2, 5.0))
def test_what_is_held_is_between_prior_and_measurement_and_surer_than_both(
    sd: float, noise: float, value: float
) -> None:
    after = updated(belief(sd), lambda values: [values["x0"]], [value], [noise])
    low, high = sorted((1.0, value))
    assert low - 1e-9 <= after.middle("x0") <= high + 1e-9
    assert after.spread("x0") <= noise + 1e-12
    if abs(math.log(value)) <= 2 * sd:
        assert after.spread("x0") <= sd + 1e-12


def test_a_range_that_is_refuted_does_not_overrule_what_was_measured() -> None:
    """Prior 1 % around 1, measured 1.3 give or take 2 %: by precision alone 1.05; the range was wrong, and gives way."""
    after = updated(belief(0.01), lambda values: [values["x0"]], [1.3], [0.02])
    assert after.middle("x0") == pytest.approx(1.3, abs=0.01)
    assert after.spread("x0") == pytest.approx(0.02, rel=0.05)


def test_known_inputs_are_read_as_they_are_known_and_move_with_their_cause() -> None:
    cause = Uncertain(0.9, 1.0, 1.3, "cause.grain.factor")
    waste = Uncertain(0.1, 0.2, 0.3, "timber.waste", cause=cause)
    assert known({"timber.waste": 0.25}, likely)(waste) == 0.25
    assert known({"cause.grain.factor": 2.0}, likely)(waste) == 0.4
    assert known({"timber.waste": 0.25, "cause.grain.factor": 2.0}, likely)(waste) == 0.5
    assert known({}, likely)(waste) == 0.2
    several = known({"timber.waste": np.array([0.1, 0.3])}, likely)(waste)
    assert np.array_equal(several, [0.1, 0.3])
