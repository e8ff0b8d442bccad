"""Reach and channels: what must hold for every price, cost, margin and shop."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from quoting.errors import Problems
from quoting.money import exact
from quoting.pricing.chain import FeeShare, Rules, left_for_cost
from quoting.pricing.channels import at_floor, at_margin
from quoting.pricing.reach import Costs, Reach, Way, even_steps
from quoting.pricing.sale import margin_of, sale_at
from quoting.takeoff.delivery import Trip

CENT = Decimal("0.01")
MILE = 1609.344


def shares(most: str) -> st.SearchStrategy[Decimal]:
    return st.decimals("0", most, places=3)


@st.composite
def rules(draw: st.DrawFn) -> Rules:
    """Rules of a sale in cents: margin above the floor, up to two fees, tax shown either way, any step of prices."""
    floor = draw(shares("0.3"))
    fees = [
        FeeShare(
            name,
            draw(shares("0.25")),
            draw(st.decimals("0", "5", places=2)),
            draw(st.sampled_from(["net", "total"])),
        )
        for name in draw(st.sampled_from([(), ("one",), ("one", "two")]))
    ]
    return Rules(
        margin=floor + draw(shares("0.2")),
        floor=floor,
        tax=draw(shares("0.25")),
        included=draw(st.booleans()),
        tax_the_trip=True,
        fees=tuple(fees),
        discount_share=Decimal(0),
        discount_amount=Decimal(0),
        rush=Decimal(0),
        least_price=Decimal(0),
        round_to=draw(st.sampled_from([CENT, Decimal(1), Decimal(5), Decimal(50)])),
        digits=2,
    )


def amounts(most: float) -> st.SearchStrategy[float]:
    """Rates of money: nobody pays less than the hundredth part of a cent, or a little of it."""
    return st.floats(0, most).map(lambda amount: round(amount, 4))


trips = st.builds(
    Trip,
    load_h=st.floats(0, 5),
    crew=st.integers(1, 4),
    crew_rate=amounts(80),
    flights_cost=amounts(100),
    per_distance=amounts(3).map(lambda a_mile: a_mile / MILE),
    speed_m_per_h=st.floats(10, 70).map(lambda mph: mph * MILE),
    overhead_rate=amounts(40),
)
costs = st.floats(1, 20_000)


def reach_of(rule: Rules, trip: Trip, cost: float, seen: Decimal, waiting: float = 0.0) -> Reach:
    left = float(left_for_cost(rule))
    sale = sale_at(seen, rule)
    return Reach(
        sale, rule, (Costs("the cost", cost),), (Way("", trip),), left, 25 * MILE, 150 * MILE, 1.3, waiting
    )


def holds(rule: Rules) -> bool:
    try:
        return left_for_cost(rule) > Decimal("0.05")
    except Problems:
        return False


@given(rules(), trips, costs, st.floats(2, 9), st.floats(0, 0.2))
def test_at_the_radius_the_margin_is_the_one_asked(
    rule: Rules, trip: Trip, cost: float, times: float, waiting: float
) -> None:
    """And within it more is left, beyond it less."""
    assume(holds(rule))
    trip = replace(trip, per_distance=trip.per_distance + 0.1 / MILE)
    reach = reach_of(rule, trip, cost, round(Decimal(cost * times + 500), 2), waiting)
    radius = reach.radius("", cost, trip).at_margin
    assume(radius is not None)
    margin = float(rule.margin)
    assert reach.row(radius).free_margin == pytest.approx(margin, abs=1e-7)
    assert reach.row(radius * 0.9).free_margin >= margin - 1e-9
    assert reach.row(radius * 1.1 + 1000).free_margin < margin


@given(rules(), trips, costs, costs, st.decimals("1", "30000", places=2), shares("0.2"))
def test_a_dearer_piece_or_a_higher_floor_never_reaches_farther(
    rule: Rules, trip: Trip, cost: float, more: float, seen: Decimal, higher: Decimal
) -> None:
    """None is nowhere: less than any radius."""
    assume(holds(rule))
    reach = reach_of(rule, trip, cost, seen)

    def far(one: Reach, spent: float) -> float:
        found = one.radius("", spent, trip).at_floor
        return -1.0 if found is None else found

    assert far(reach, cost + more) <= far(reach, cost)
    stricter = replace(reach, rules=rule._replace(floor=rule.floor + higher))
    assert far(stricter, cost) <= far(reach, cost)


@given(rules(), trips, costs, st.decimals("100", "30000", places=2), st.floats(0, 150), st.floats(0, 150))
def test_surcharges_never_fall_and_the_needed_one_holds_the_margin(
    rule: Rules, trip: Trip, cost: float, seen: Decimal, one: float, other: float
) -> None:
    """None within the free distance, no jump at its edge; net price and fees grow with the surcharge that is needed."""
    assume(holds(rule))
    reach = reach_of(rule, trip, cost, seen)
    near, far = sorted((one * MILE, other * MILE))
    assert reach.surcharge(near) <= reach.surcharge(far)
    assert reach.surcharge(25 * MILE) == 0 <= reach.surcharge(25 * MILE + 1) < 1
    row = reach.row(far)
    assume(row.needed > 0)
    net = float(reach.sale.net) + row.needed
    of_total = sum(float(fee.share) for fee in rule.fees if fee.on == "total") * (1 + float(rule.tax))
    of_net = sum(float(fee.share) for fee in rule.fees if fee.on == "net")
    kept = float(reach.sale.kept) + row.needed * (1 - of_total - of_net)
    assert (kept - cost - row.trip) / net == pytest.approx(float(rule.margin), abs=1e-6)


@given(trips, st.floats(-100, 5000))
@example(Trip(0.0, 1, 0.0, 8.0, 0.0, 10 * MILE, 6.5e-13), 9.0)  # driving that costs next to nothing
def test_the_reach_of_a_trip_inverts_its_cost(trip: Trip, room: float) -> None:
    """D(d*) is the room; nothing where loading alone costs more, everywhere where driving costs nothing."""
    found = float(trip.reach_m(room))
    if math.isinf(found):
        assert trip.cost(1e9 * MILE) == pytest.approx(trip.cost(0.0))
        assert trip.cost(0.0) <= room
    elif found < 0:
        assert room < trip.cost(0.0)
    else:
        assert float(trip.cost(found)) == pytest.approx(room, rel=1e-6, abs=1e-6)


@given(rules(), costs)
def test_list_prices_keep_their_margin_after_rounding(rule: Rules, cost: float) -> None:
    """Never below the one asked, whatever the fees are rounded to; without steps the price inverts to the cost."""
    assume(holds(rule))
    sale = at_margin(cost, rule)
    assert sale.kept - exact(cost, 2) >= rule.margin * sale.net
    fine = at_margin(cost, rule._replace(round_to=CENT))
    back = float(fine.kept - rule.margin * fine.net)
    assert back == pytest.approx(cost, abs=0.01 * (len(rule.fees) + 2) + 0.01)


@given(rules(), costs, costs)
def test_a_dearer_piece_never_has_a_lower_price(rule: Rules, cost: float, more: float) -> None:
    """Through every channel, at the margin asked and at the floor."""
    assume(holds(rule))
    assert at_margin(cost + more, rule).seen >= at_margin(cost, rule).seen
    assert at_margin(cost + more, at_floor(rule)).seen >= at_margin(cost, at_floor(rule)).seen


@given(rules(), costs)
def test_what_may_come_off_leaves_the_floor(rule: Rules, cost: float) -> None:
    """At the floor figure the margin is the floor; a hundredth less and it is below it."""
    assume(holds(rule))
    least = at_margin(cost, at_floor(rule._replace(round_to=CENT))).seen
    margin = margin_of(sale_at(least, rule), round(cost, 2))
    assert margin is not None
    slack = 0.005 * (len(rule.fees) + 2) / float(least)
    assert margin >= float(rule.floor) - 1e-12
    below = margin_of(sale_at(round(least * Decimal("0.99"), 2), rule), round(cost, 2))
    assert below is None or below < float(rule.floor) + slack


@given(st.decimals("0.01", "90000", places=2), rules())
def test_a_sale_foots(seen: Decimal, rule: Rules) -> None:
    """What the client sees is the total where tax is in it, the net price where it is added."""
    sale = sale_at(seen, rule)
    assert sale.total == sale.net + sale.tax
    assert sale.seen == (sale.total if rule.included else sale.net)
    assert sale.kept == sale.net - sale.fees - sale.set_aside <= sale.in_hand
    assert sale_at(Decimal("0.00"), rule).kept == 0


@given(st.floats(100, 2_000_000), st.sampled_from([MILE, 1000.0]))
def test_steps_by_distance_are_even_and_few(furthest: float, unit: float) -> None:
    """Whole steps of a round number, from nothing to as far as the shop delivers."""
    steps = list(even_steps(furthest, unit))
    assert steps[0] == 0 and steps[-1] <= furthest * (1 + 1e-9)
    assert 1 <= len(steps) <= 13
    gaps = [b - a for a, b in pairwise(steps)]
    assert all(gap == pytest.approx(gaps[0]) for gap in gaps)
