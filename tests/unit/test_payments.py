"""Payments: net and tax both foot, whatever the shares."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import Problems
from quoting.money import step
from quoting.pricing.payments import payments


def term(share: float | None = None, amount: float | None = None, taxed: str = "on receipt") -> Any:
    """A payment as the shop file states it."""
    return SimpleNamespace(name="a payment", share=share, amount=amount, due="", taxed=taxed)


@st.composite
def terms(draw: st.DrawFn) -> tuple[Any, ...]:
    """Up to five shares that sum to 100 %, some taxed on delivery."""
    cuts = sorted(draw(st.lists(st.integers(0, 100), max_size=4)))
    bounds = [0, *cuts, 100]
    taxed = st.sampled_from(["on receipt", "on delivery"])
    return tuple(term((high - low) / 100, taxed=draw(taxed)) for low, high in pairwise(bounds))


@given(terms(), st.integers(0, 10**9), st.integers(0, 10**8), st.sampled_from([0, 2, 3]))
def test_net_and_tax_both_foot(plan: tuple[Any, ...], net: int, tax: int, digits: int) -> None:
    paid = payments(plan, net * step(digits), tax * step(digits), digits)
    assert len(paid) == len(plan)
    assert sum(one.net for one in paid) == net * step(digits)
    assert sum(one.tax for one in paid) == tax * step(digits)
    assert sum(one.total for one in paid) == (net + tax) * step(digits)
    for one, planned in zip(paid, plan, strict=True):
        assert abs(one.net - net * step(digits) * Decimal(repr(planned.share))) < step(digits)
        assert one.net >= 0
        assert one.tax >= 0


@given(terms(), st.integers(1, 10**7), st.integers(0, 10**6), st.integers(0, 100))
def test_an_amount_first_and_shares_of_what_is_left(
    plan: tuple[Any, ...], net: int, tax: int, part: int
) -> None:
    """The amount is what the client pays, tax in it; the rest foots."""
    total = Decimal(net + tax) / 100
    deposit = (total * part / 100).quantize(Decimal("0.01"), "ROUND_DOWN")
    paid = payments((term(amount=float(deposit)), *plan), Decimal(net) / 100, Decimal(tax) / 100, 2)
    assert paid[0].total == deposit
    assert sum(one.net for one in paid) == Decimal(net) / 100
    assert sum(one.tax for one in paid) == Decimal(tax) / 100


@given(st.integers(1, 10**7), st.integers(0, 10**6))
def test_no_payment_is_ever_below_nothing(net: int, tax: int) -> None:
    """An amount of nearly everything leaves a last payment of a cent or two, net and tax both at least 0."""
    total = Decimal(net + tax) / 100
    deposit = max(total - Decimal("0.01"), Decimal(0))
    paid = payments((term(amount=float(deposit)), term(1.0)), Decimal(net) / 100, Decimal(tax) / 100, 2)
    assert [one for one in paid if one.net < 0 or one.tax < 0] == []


def test_tax_on_delivery_falls_due_with_the_last_payment() -> None:
    plan = (term(0.5, taxed="on delivery"), term(0.4), term(0.1))
    paid = payments(plan, Decimal("1000.00"), Decimal("190.00"), 2)
    assert [one.net for one in paid] == [500, 400, 100]
    assert [one.tax for one in paid] == [0, 76, 114]


def test_three_equal_payments_of_a_hundred() -> None:
    plan = (term(1 / 3), term(1 / 3), term(1 / 3))
    assert [one.net for one in payments(plan, Decimal("100.00"), Decimal(0), 2)] == [
        Decimal("33.34"),
        Decimal("33.33"),
        Decimal("33.33"),
    ]


def test_a_total_of_nothing_is_paid_with_nothing() -> None:
    paid = payments((term(0.5), term(0.5)), Decimal("0.00"), Decimal("0.00"), 2)
    assert [one.total for one in paid] == [0, 0]


def test_amounts_above_the_total_are_refused() -> None:
    with pytest.raises(Problems, match="write smaller amounts"):
        payments((term(amount=900.01), term(1.0)), Decimal("900.00"), Decimal(0), 2)
    assert payments((term(amount=900), term(1.0)), Decimal("900.00"), Decimal(0), 2)[1].total == 0
