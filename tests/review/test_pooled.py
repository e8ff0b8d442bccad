"""What a few pieces say together is stated no surer than it is."""

from __future__ import annotations

import numpy as np
import pytest

from quoting.risk.updating import pooled, student


@pytest.mark.parametrize(("freedom", "t"), [(1, 12.706), (2, 4.303), (9, 2.262), (10, 2.228), (15, 2.131), (20, 2.086),
                                            (30, 2.042), (60, 2.000), (100, 1.984)])  # fmt: skip
def test_students_t_is_that_of_the_tables(freedom: int, t: float) -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods 1.3.6.7.2, upper critical values, 0.975 (from memory)."""
    assert student(freedom) == pytest.approx(t, abs=6e-4)


@pytest.mark.parametrize("pieces", [3, 5, 10, 30])
def test_two_standard_errors_hold_the_truth_95_times_in_100(pieces: int) -> None:
    rng = np.random.default_rng(pieces)
    found = [pooled(list(rng.normal(40, 8, pieces))) for _ in range(4000)]
    assert np.mean([abs(one.mean - 40) <= 2 * one.error for one in found]) == pytest.approx(0.95, abs=0.011)


def test_a_mean_tells_from_three_pieces_on_and_only_where_chance_does_not_explain_it() -> None:
    assert not pooled([50.0]).tells_from(40)
    assert not pooled([50.0, 50.1]).tells_from(40)
    assert pooled([50.0, 50.2, 49.9]).tells_from(40)
    assert not pooled([35.0, 42.0, 55.0]).tells_from(40)


def test_a_single_value_tells_no_error_and_equal_ones_have_none() -> None:
    assert pooled([7.0]) == (7.0, 0.0, 0.0, 1)
    assert pooled([7.0, 7.0, 7.0]) == (7.0, 0.0, 0.0, 3)
