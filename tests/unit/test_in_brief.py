"""The answer to a price: where it goes sums to it, per cents to a hundred, an hour earns what a sale says it does."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.job.starters import shipped
from quoting.pricing.channels import bare_cost, planned_base
from quoting.pricing.in_brief import InBrief, in_brief, whole_per_cents
from quoting.pricing.record import Priced
from quoting.pricing.sale import outcome, planned_spending, sale_at
from quoting.runs.pricing import check, price, priced_alone

DAY = date(2027, 3, 1)
JOBS = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))


def brief_of(job: Path, *settings: str) -> tuple[Priced, InBrief]:
    found = price(job, None, DAY, settings)
    return found, in_brief(found)


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_where_it_goes_sums_to_the_price_before_tax(job: Path) -> None:
    found, brief = brief_of(job)
    assert sum(one.amount for one in brief.shares) == found.chain.net == brief.net
    assert sum(one.per_cent for one in brief.shares) == 100
    assert all(abs(one.per_cent - 100 * one.amount / brief.net) < 1 for one in brief.shares)
    amounts = [one.amount for one in brief.shares]
    assert amounts == sorted(amounts, reverse=True)


@given(st.lists(st.integers(-10_000, 100_000), min_size=1, max_size=12))
def test_whole_per_cents_sum_to_a_hundred(cents: list[int]) -> None:
    amounts = [Decimal(one) / 100 for one in cents]
    whole = sum(amounts, Decimal(0))
    found = whole_per_cents(amounts, whole)
    if not whole:
        assert found == [0] * len(amounts)
        return
    assert sum(found) == 100
    assert all(abs(one - 100 * amount / whole) < 1 for one, amount in zip(found, amounts, strict=True))


@pytest.mark.parametrize("job", JOBS[:3], ids=lambda job: job.stem)
def test_an_hour_earns_what_a_sale_of_the_same_price_says(job: Path) -> None:
    """One definition: a sale through the job's own channel at its list price, the reserve counted as cost."""
    checked = check(job, None, DAY)
    found = priced_alone(checked)
    brief, spent = in_brief(found), float(found.chain.spent)
    spending = planned_spending(found, planned_base(checked.brief, found), bare_cost(checked.brief))
    untaxed = found.rules._replace(tax=Decimal(0), included=False)
    sale = sale_at(found.chain.net, untaxed)
    on_tax = found.chain.fee_total - sale.fees - sale.set_aside  # fees on the total with tax
    sold = outcome(sale, spending, spent + float(on_tax))
    assert brief.an_hour == pytest.approx(sold.an_hour, rel=1e-9)
    assert brief.own_hours == spending.own_hours
    assert float(brief.cash) == spending.cash_to_spend


def test_the_setting_that_moves_office_hours_moves_them() -> None:
    """The row names a setting, and with it the row is gone: the overhead carries those hours then."""
    job = next(one for one in JOBS if one.stem == "library_console")
    _, before = brief_of(job)
    [office] = [one for one in before.shares if one.setting]
    assert office.amount > 0
    _, after = brief_of(job, f"{office.setting}=overhead")
    assert not [one for one in after.shares if one.setting]
    assert after.own_hours < before.own_hours


def test_broken_limits_are_warned_of_first() -> None:
    job = next(one for one in JOBS if one.stem == "library_console")
    _, brief = brief_of(job, "price.margin=5 %")
    assert brief.warnings[0].code == "below_floor"
