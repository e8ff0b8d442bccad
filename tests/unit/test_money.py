"""Money: half-up, shared out to the last cent, rounded up."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.money import exact, minor_digits, printed, rounded_up, shared_out, step, trusted

DIGITS = st.sampled_from([0, 2, 3])


@pytest.mark.parametrize(
    ("value", "digits", "amount"),
    [
        (365.125, 2, "365.13"),
        (2.675, 2, "2.68"),  # the float lies below the tie, what was meant is the tie
        (1.005, 2, "1.01"),
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),  # half up, not half even
        (0.0005, 3, "0.001"),
        (0.00049999, 3, "0.000"),
        (-2.675, 2, "-2.68"),  # away from zero, so that a credit mirrors a charge
        (-0.5, 0, "-1"),
        (1e-12, 2, "0.00"),
        (0.0, 2, "0.00"),
        (1234567.891, 2, "1234567.89"),
        (Decimal("0.125"), 2, "0.13"),
    ],
)
def test_ties_go_up(value: float | Decimal, digits: int, amount: str) -> None:
    assert str(exact(value, digits)) == amount


@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), float("-inf"), Decimal("NaN"), Decimal("Infinity")]
)
def test_what_is_no_number_is_no_amount(value: float | Decimal) -> None:
    with pytest.raises(ValueError, match="no amount of money"):
        exact(value, 2)


@given(st.integers(-(10**12), 10**12), DIGITS)
def test_a_whole_number_of_minor_units_is_kept(units: int, digits: int) -> None:
    amount = units * step(digits)
    assert exact(amount, digits) == amount
    assert -exact(amount, digits).as_tuple().exponent == digits


@given(st.decimals(-(10**9), 10**9, allow_nan=False, allow_infinity=False, places=6), DIGITS)
def test_an_amount_is_within_half_a_minor_unit(value: Decimal, digits: int) -> None:
    assert abs(exact(value, digits) - value) <= step(digits) / 2
    assert exact(-value, digits) == -exact(value, digits)


@given(st.integers(-(10**7), 10**7), DIGITS)
def test_a_float_tie_is_read_as_the_tie_that_was_meant(odd: int, digits: int) -> None:
    """Every x.xx5 goes away from zero, whichever side of it the float lies on."""
    tie = (Decimal(odd) + Decimal("0.5")) * step(digits)
    assert exact(float(tie), digits) == exact(tie, digits)


@pytest.mark.parametrize(("digits", "smallest"), [(0, "1"), (2, "0.01"), (3, "0.001")])
def test_the_smallest_step(digits: int, smallest: str) -> None:
    assert str(step(digits)) == smallest


@pytest.mark.parametrize(
    ("currency", "digits"), [("JPY", 0), ("KRW", 0), ("USD", 2), ("EUR", 2), ("KWD", 3), ("TND", 3)]
)
def test_minor_digits_of_a_currency(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.parametrize("code", ["USB", "usd", "", "EURO", "€"])
def test_a_code_that_is_no_currency(code: str) -> None:
    with pytest.raises(ValueError, match="no currency code"):
        minor_digits(code)


@given(
    st.decimals(0, 10**8, places=4),
    st.sampled_from(
        [Decimal(1), Decimal(5), Decimal("0.01"), Decimal("0.05"), Decimal(100), Decimal("0.25")]
    ),
)
def test_rounded_up_is_the_least_multiple_that_is_enough(value: Decimal, multiple: Decimal) -> None:
    found = rounded_up(value, multiple)
    assert found % multiple == 0
    assert value <= found < value + multiple


def test_a_multiple_stays_where_it_is() -> None:
    assert rounded_up(Decimal(2925), Decimal(5)) == 2925
    assert rounded_up(2925.0000000001, Decimal(5)) == 2925  # noise of a float is forgiven
    assert rounded_up(Decimal("2925.01"), Decimal(5)) == 2930


def test_a_decimal_is_trusted_as_it_is() -> None:
    assert trusted(Decimal("1.0000000000001")) == Decimal("1.0000000000001")
    assert trusted(2.6749999999999998) == Decimal("2.675")


WEIGHTS = st.lists(st.integers(0, 1000).map(Decimal), min_size=1, max_size=12).filter(any)


@given(st.integers(-(10**10), 10**10), WEIGHTS, DIGITS)
def test_parts_sum_to_the_whole(units: int, weights: list[Decimal], digits: int) -> None:
    total = units * step(digits)
    parts = shared_out(total, weights, digits)
    assert len(parts) == len(weights)
    assert sum(parts) == total


@given(st.integers(-(10**10), 10**10), WEIGHTS, DIGITS)
def test_every_part_is_within_a_minor_unit_of_its_share(
    units: int, weights: list[Decimal], digits: int
) -> None:
    total = units * step(digits)
    parts = shared_out(total, weights, digits)
    for part, weight in zip(parts, weights, strict=True):
        assert part % step(digits) == 0
        assert abs(part - total * weight / sum(weights)) < step(digits)
        assert weight or part == 0


@given(st.integers(0, 10**10), WEIGHTS, DIGITS)
def test_a_negative_total_mirrors_the_positive_one(units: int, weights: list[Decimal], digits: int) -> None:
    total = units * step(digits)
    assert shared_out(-total, weights, digits) == [-part for part in shared_out(total, weights, digits)]


@given(st.integers(0, 10**8), WEIGHTS)
def test_more_weight_never_gets_less(units: int, weights: list[Decimal]) -> None:
    parts = shared_out(units * step(2), weights, 2)
    for weight, part in zip(weights, parts, strict=True):
        for other, its in zip(weights, parts, strict=True):
            assert not (weight > other and part < its)


def test_units_left_over_go_to_the_largest_remainders_and_ties_to_the_first() -> None:
    assert shared_out(Decimal("100.00"), [Decimal(1)] * 3, 2) == [
        Decimal("33.34"),
        Decimal("33.33"),
        Decimal("33.33"),
    ]
    assert shared_out(Decimal(10), [Decimal(5), Decimal(4), Decimal(3)], 0) == [4, 3, 3]
    assert shared_out(Decimal("0.01"), [Decimal(1), Decimal(2)], 2) == [0, Decimal("0.01")]


@pytest.mark.parametrize("weights", [[], [Decimal(0)], [Decimal(0), Decimal(0)], [Decimal(2), Decimal(-1)]])
@pytest.mark.parametrize("total", [Decimal(1), Decimal(-1)])
def test_weights_that_share_nothing_are_refused(weights: list[Decimal], total: Decimal) -> None:
    with pytest.raises(ValueError, match="weights must be zero or more"):
        shared_out(total, weights, 2)


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "text"),
    [
        ("1234.50", "USD", "en_US", "$1,234.50"),
        ("1234.50", "EUR", "de_DE", "1.234,50\u00a0€"),
        ("1234.50", "EUR", "fr_FR", "1\u00a0234,50\u00a0€"),  # the narrow space that fonts lack is widened
        ("1234", "JPY", "ja_JP", "\u00a51,234"),
    ],
)
def test_an_amount_as_people_of_a_place_read_it(amount: str, currency: str, locale: str, text: str) -> None:
    assert printed(Decimal(amount), currency, locale) == text


def test_an_amount_of_three_minor_digits_shows_all_of_them() -> None:
    """How a code without a sign stands before its amount differs between editions of the locale data."""
    assert printed(Decimal("1.230"), "KWD", "en_US").endswith("1.230")
