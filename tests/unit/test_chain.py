"""The price chain: the margin asked is the margin held, to half a cent."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import Problems
from quoting.money import step
from quoting.pricing.chain import FeeShare, Rules, chain, left_for_cost, list_price

PLAIN = Rules(
    margin=Decimal("0.25"),
    floor=Decimal("0.10"),
    tax=Decimal(0),
    included=False,
    tax_the_trip=True,
    fees=(),
    discount_share=Decimal(0),
    discount_amount=Decimal(0),
    rush=Decimal(0),
    least_price=Decimal(0),
    round_to=Decimal("0.01"),
    digits=2,
)


def shares(most: int) -> st.SearchStrategy[Decimal]:
    """Shares in tenths of a per cent."""
    return st.integers(0, most * 10).map(lambda tenths: Decimal(tenths) / 1000)


@st.composite
def rules(draw: st.DrawFn) -> Rules:
    digits = draw(st.sampled_from([0, 2, 3]))
    fees = tuple(
        FeeShare(
            f"fee {i}",
            draw(shares(8)),
            draw(st.integers(0, 500)) * step(digits),
            draw(st.sampled_from(["net", "total"])),
        )
        for i in range(draw(st.integers(0, 4)))
    )
    round_to = draw(st.sampled_from([step(digits), Decimal(1), Decimal(5), Decimal(50)]))
    return Rules(
        margin=draw(shares(45)),
        floor=Decimal("0.10"),
        tax=draw(shares(25)),
        included=draw(st.booleans()),
        tax_the_trip=draw(st.booleans()),
        fees=fees,
        discount_share=draw(st.one_of(st.just(Decimal(0)), shares(60))),
        discount_amount=draw(
            st.one_of(st.just(Decimal(0)), st.integers(0, 100_000).map(lambda n: n * step(digits)))
        ),
        rush=draw(st.sampled_from([Decimal(0), Decimal("0.2")])),
        least_price=draw(st.sampled_from([Decimal(0), Decimal(900)])),
        round_to=max(round_to, step(digits)),
        digits=digits,
    )


@st.composite
def sales(draw: st.DrawFn) -> tuple[Decimal, Decimal, Rules]:
    """Cost with reserve, cost of the trip beyond the free distance, and the rules."""
    rule = draw(rules())
    unit = step(rule.digits)
    return draw(st.integers(1, 10**7)) * unit, draw(st.one_of(st.just(0), st.integers(0, 10**5))) * unit, rule


@given(sales())
def test_the_margin_asked_is_held_after_discount_and_rounding(sale: tuple[Decimal, Decimal, Rules]) -> None:
    """What is kept is not below the margin asked, but for the rounding of printed lines.

    The net price may fall short by half a minor unit; so may each fee line and the surcharge, since each
    is an amount of its own, and the tax that a fee on the total is reckoned from.
    """
    cost, extra, rule = sale
    found = chain(cost, extra, rule)
    kept = found.net - found.fee_total - cost - extra
    rounded_lines = 2 + len(found.fees) + bool(extra)
    assert kept >= rule.margin * found.net - rounded_lines * step(rule.digits) / 2
    if found.net:
        assert found.margin == kept / found.net


@given(sales())
def test_without_fees_the_margin_is_held_to_half_a_minor_unit(sale: tuple[Decimal, Decimal, Rules]) -> None:
    cost, _, rule = sale
    rule = rule._replace(fees=())
    found = chain(cost, Decimal(0), rule)
    assert found.net - cost >= rule.margin * found.net - step(rule.digits) / 2


@given(sales())
def test_every_figure_foots(sale: tuple[Decimal, Decimal, Rules]) -> None:
    cost, extra, rule = sale
    found = chain(cost, extra, rule)
    assert found.net + found.tax == found.total
    assert found.goods - found.discount + found.surcharge == found.net
    assert sum(found.fees.values()) == found.fee_total
    for amount in (
        found.goods,
        found.discount,
        found.surcharge,
        found.net,
        found.tax,
        found.total,
        *found.fees.values(),
    ):
        assert amount % step(rule.digits) == 0
        assert amount >= 0


@given(sales())
def test_the_figure_that_the_client_sees_is_round(sale: tuple[Decimal, Decimal, Rules]) -> None:
    """Before a discount, and with tax where the price is shown with it."""
    cost, _, rule = sale
    found = chain(cost, Decimal(0), rule)
    seen = list_price(Decimal(0) + cost / left_for_cost(rule), rule)[2]
    assert seen % rule.round_to == 0
    if not rule.included:
        assert found.goods % rule.round_to == 0
    elif not rule.discount_share and not rule.discount_amount:
        assert found.total % rule.round_to == 0


@given(sales(), st.integers(1, 10**6))
def test_raising_cost_never_lowers_the_price(sale: tuple[Decimal, Decimal, Rules], more: int) -> None:
    cost, extra, rule = sale
    low, high = chain(cost, extra, rule), chain(cost + more * step(rule.digits), extra, rule)
    assert high.total >= low.total
    assert high.net >= low.net
    far = chain(cost, extra + more * step(rule.digits), rule)
    assert far.total >= low.total


@given(sales(), shares(5))
def test_asking_for_more_margin_never_lowers_the_price(
    sale: tuple[Decimal, Decimal, Rules], more: Decimal
) -> None:
    cost, extra, rule = sale
    assert (
        chain(cost, extra, rule._replace(margin=rule.margin + more)).total >= chain(cost, extra, rule).total
    )


@given(sales())
def test_tax_is_the_rate_of_what_is_taxed(sale: tuple[Decimal, Decimal, Rules]) -> None:
    """To a minor unit: a price shown with tax is split, one shown without is added to."""
    cost, extra, rule = sale
    found = chain(cost, extra, rule)
    taxed = found.net if rule.tax_the_trip else found.net - found.surcharge
    # three amounts may be rounded by half a unit each where a price with tax is split: goods, discount, trip
    assert abs(found.tax - taxed * rule.tax) <= step(rule.digits) * (2 if rule.included else Decimal("0.5"))


@given(rules(), st.integers(0, 100))
def test_where_nothing_is_left_for_the_cost_the_price_is_refused(rule: Rules, over: int) -> None:
    of_net = sum(fee.share for fee in rule.fees if fee.on == "net")
    of_total = sum(fee.share for fee in rule.fees if fee.on == "total")
    most = 1 - of_net - of_total * (1 + rule.tax)
    with pytest.raises(Problems, match="nothing of the price is left for the cost"):
        chain(Decimal(100), Decimal(0), rule._replace(margin=most + Decimal(over) / 100))
    assert left_for_cost(rule._replace(margin=most - Decimal("0.0001"))) == Decimal("0.0001")


def test_a_margin_of_a_quarter() -> None:
    found = chain(Decimal("750.00"), Decimal(0), PLAIN)
    assert (found.goods, found.total, found.margin, found.ruled_by) == (1000, 1000, Decimal("0.25"), "margin")
    assert found.markup == Decimal(250) / 750


def test_a_fee_on_the_total_is_paid_out_of_the_price() -> None:
    """(900 + 0.30) / (1 - 0.25 - 0.029 x 1.08) = 1252.53..., and 0.029 of the total with tax is the fee."""
    fee = FeeShare("card", Decimal("0.029"), Decimal("0.30"), "total")
    found = chain(Decimal("900.00"), Decimal(0), PLAIN._replace(fees=(fee,), tax=Decimal("0.08")))
    price = Decimal("900.30") / (1 - Decimal("0.25") - Decimal("0.029") * Decimal("1.08"))
    assert found.goods == price.quantize(Decimal("0.01"), "ROUND_UP")
    assert found.fees == {
        "card": (found.total * Decimal("0.029") + Decimal("0.30")).quantize(Decimal("0.01"))
    }


def test_the_least_price_rules_a_small_piece() -> None:
    found = chain(Decimal("30.00"), Decimal(0), PLAIN._replace(least_price=Decimal(250)))
    assert (found.goods, found.ruled_by) == (250, "least price")


def test_a_discount_is_taken_from_a_price_that_was_raised_for_it() -> None:
    """750 at a margin of 25 % is 1000; 20 % off a list price of 1250 leaves it."""
    found = chain(Decimal("750.00"), Decimal(0), PLAIN._replace(discount_share=Decimal("0.2")))
    assert (found.goods, found.discount, found.net) == (1250, 250, 1000)
    amount = chain(Decimal("750.00"), Decimal(0), PLAIN._replace(discount_amount=Decimal(80)))
    assert (amount.goods, amount.discount, amount.net) == (1080, 80, 1000)


def test_a_price_shown_with_tax_is_round_with_it() -> None:
    rule = PLAIN._replace(tax=Decimal("0.19"), included=True, round_to=Decimal(5))
    found = chain(Decimal("750.00"), Decimal(0), rule)
    assert (found.total, found.net, found.tax) == (1190, 1000, 190)
    found = chain(Decimal("750.01"), Decimal(0), rule)
    assert (found.total, found.net) == (1195, Decimal("1004.20"))


def test_the_surcharge_holds_the_margin_too() -> None:
    found = chain(Decimal("750.00"), Decimal("75.00"), PLAIN)
    assert (found.surcharge, found.net, found.margin) == (100, 1100, Decimal("0.25"))
