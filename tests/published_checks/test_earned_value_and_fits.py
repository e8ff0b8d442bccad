"""Earned value against worked examples; least squares against a certified data set; learning curves from their own times."""

from __future__ import annotations

from fractions import Fraction

import pytest
from published_checks.helpers import rows

from quoting.errors import Problems
from quoting.forecast.build import earned
from quoting.risk.updating import learning_curve, line


@pytest.mark.parametrize("row", rows("earned_value"), ids=lambda row: row["check"])
def test_earned_value_of_worked_examples(row: dict[str, str]) -> None:
    found = earned(**{name: float(row[name]) for name in ("bac", "ev", "ac", "pv")})
    for name in ("cpi", "spi", "eac_at_budget", "eac_at_present", "eac_at_both", "tcpi"):
        assert getattr(found, name) == pytest.approx(float(Fraction(row[name])), rel=1e-6), name
    assert found.cv == found.ev - found.ac
    assert found.sv == found.ev - found.pv


def test_identities_of_earned_value() -> None:
    """With CPI = 1 the estimate is the budget; when all is earned it is what was spent, in every form."""
    even = earned(bac=900, ev=300, ac=300, pv=300)
    assert even.eac_at_budget == even.eac_at_present == even.eac_at_both == 900
    done = earned(bac=900, ev=900, ac=1100, pv=900)
    assert done.eac_at_budget == done.eac_at_present == done.eac_at_both == 1100
    assert done.tcpi == float("inf")


@pytest.mark.parametrize("given", [{"ev": 0.0, "ac": 10.0}, {"ev": 10.0, "ac": 0.0}, {"ev": 0.0, "ac": 0.0}])
def test_nothing_done_or_nothing_spent_is_refused_in_words(given: dict[str, float]) -> None:
    with pytest.raises(Problems, match="found nothing"):
        earned(bac=100, pv=10, **given)


def test_least_squares_reach_the_certified_values() -> None:
    """NIST StRD, Norris, 36 points (read): b0, b1, their standard errors, the residual, R squared; certified to 15 digits."""
    points = rows("norris")
    assert len(points) == 36
    found = line([float(one["x"]) for one in points], [float(one["y"]) for one in points])
    assert found.intercept == pytest.approx(-0.262323073774029, rel=1e-9)
    assert found.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert found.intercept_error == pytest.approx(0.232818234301152, rel=1e-9)
    assert found.slope_error == pytest.approx(0.000429796848199937, rel=1e-9)
    assert found.residual == pytest.approx(0.884796396144373, rel=1e-9)
    assert found.r_squared == pytest.approx(0.999993745883712, rel=1e-12)


def test_a_learning_curve_is_found_again_from_its_rounded_times() -> None:
    """Units 1 to 8 at a first time of 40 and 85 %, rounded to a tenth of an hour (derived here): 85.003 %, 39.99."""
    times = [40, 34, 30.9, 28.9, 27.4, 26.3, 25.3, 24.6]
    found = learning_curve(range(1, 9), times)
    assert found.rate == pytest.approx(0.85003, abs=2e-5)
    assert found.first == pytest.approx(39.99, abs=0.01)
    assert 0 < found.rate_error < 0.001


@pytest.mark.parametrize("rate", ["0.80", "0.85", "0.90"])
def test_fits_of_the_published_tables(rate: str) -> None:
    """Crawford's unit factors as the tables print them, to four digits, give the rate they were made with."""
    table = rows("crawford", rate=rate)
    found = learning_curve([int(row["n"]) for row in table], [float(row["unit"]) for row in table])
    assert found.rate == pytest.approx(float(rate), abs=2e-4)
    assert found.first == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("points", [([1, 2], [1, 2]), ([3, 3, 3], [1, 2, 3])])
def test_a_line_needs_three_points_apart(points: tuple[list[float], list[float]]) -> None:
    with pytest.raises(ValueError, match="three points"):
        line(*points)
