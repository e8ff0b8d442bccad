"""Delivery: never cheaper farther away, no step at the free distance, the margin held beyond it."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sharing import DAY

from quoting import runs
from quoting.takeoff.delivery import trip_cost

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from quoting.pricing.record import Priced

FREE_DISTANCE_MI, FURTHEST_MI = 25, 150
FINE = (
    "pricing.round_to=0.01",
    f"delivery.free_distance={FREE_DISTANCE_MI} mi",
    f"delivery.furthest={FURTHEST_MI} mi",
)


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Priced]:
    """The starter job priced to the cent at a road distance in miles, with other values set."""
    folder = tmp_path_factory.mktemp("delivery") / "shop"
    runs.start(folder)
    job: Path = folder / "jobs" / "first-bench.toml"

    def priced(miles: float, *settings: str) -> Priced:
        return runs.price(job, None, DAY, (*FINE, f"delivery.road_distance={miles} mi", *settings))

    return priced


def test_the_total_never_falls_with_distance_up_to_the_furthest(at: Callable[..., Priced]) -> None:
    totals = [at(miles).chain.total for miles in (0, 0.5, 5, 12, 24.9, 25, 25.1, 26, 40, 80, 149.9, 150)]
    assert totals == sorted(totals)
    assert len(set(totals)) == len(totals)


def test_there_is_no_step_at_the_free_distance(at: Callable[..., Priced]) -> None:
    """A hundredth of a mile costs cents on both sides of it."""
    before, edge, beyond = (at(miles).chain.total for miles in (24.99, 25, 25.01))
    assert Decimal(0) < edge - before < Decimal("0.20")
    assert Decimal(0) < beyond - edge < Decimal("0.20")


def test_the_boundary_belongs_to_the_inner_zone(at: Callable[..., Priced]) -> None:
    assert at(25).chain.surcharge == 0
    assert at(25.01).chain.surcharge > 0
    assert (
        at(25).cost["delivery_carried"]
        == at(25.01).cost["delivery_carried"]
        == at(150).cost["delivery_carried"]
    )
    assert at(24).cost["delivery_carried"] < at(25).cost["delivery_carried"]


def test_the_price_of_the_piece_does_not_move_beyond_the_free_distance(at: Callable[..., Priced]) -> None:
    assert at(25).chain.goods == at(60).chain.goods == at(150).chain.goods


@pytest.mark.parametrize("miles", [26, 40, 75, 150])
@pytest.mark.parametrize("margin", ["10 %", "25 %", "40 %"])
def test_the_margin_is_held_beyond_the_free_distance(
    miles: int, margin: str, at: Callable[..., Priced]
) -> None:
    """Fees are rounded line by line: two of them, the surcharge and the price, half a cent each."""
    found = at(miles, f"pricing.margin={margin}").chain
    asked = Decimal(margin.removesuffix(" %")) / 100
    assert found.margin * found.net >= asked * found.net - Decimal("0.02")
    assert found.margin < asked + Decimal("0.001")


def test_the_surcharge_is_the_extra_cost_over_the_denominator(at: Callable[..., Priced]) -> None:
    """Beyond the free distance a mile costs 2 x (0.70 + (pay + overhead) / 30 mph), before margin and fees."""
    near, far = at(60).chain, at(61).chain
    rates = {rate.name: rate.per_hour for rate in at(60).rates}
    mile = 2 * (0.70 + (rates["pay.owner"] + rates["overhead"]) / 30)
    assert float(far.delivery_extra - near.delivery_extra) == pytest.approx(mile, abs=0.011)
    assert float(far.surcharge - near.surcharge) == pytest.approx(mile / float(far.denominator), abs=0.011)


def test_a_piece_for_sale_carries_the_free_distance_wherever_it_goes(at: Callable[..., Priced]) -> None:
    usual = at(25).cost["delivery_carried"]
    for miles in (1, 25, 90):
        assert at(miles, "piece.basis=for sale").cost["delivery_carried"] == usual
    assert at(1, "piece.basis=for sale").chain.surcharge == 0
    assert at(90, "piece.basis=for sale").chain.surcharge == at(90).chain.surcharge


def test_beyond_the_furthest_the_piece_is_priced_as_collected(at: Callable[..., Priced]) -> None:
    found = at(150.01)
    assert found.cost["delivery_carried"] == found.chain.surcharge == 0
    assert found.policies_broken == ("beyond_furthest",)
    assert at(150).policies_broken == ()


@pytest.mark.parametrize("crew", [1, 2, 3])
def test_a_larger_crew_costs_more_on_both_sides_of_the_radius(crew: int, at: Callable[..., Priced]) -> None:
    for miles in (10, 60):
        assert (
            at(miles, f"delivery.crew={crew + 1}").chain.total
            > at(miles, f"delivery.crew={crew}").chain.total
        )


@given(
    near=st.floats(0, 1e6),
    further=st.floats(0, 1e6),
    load=st.floats(0, 10),
    crew=st.integers(1, 4),
    rate=st.floats(0, 500),
    fixed=st.floats(0, 1000),
    per_m=st.floats(0, 0.01),
    speed=st.floats(1000, 200_000),
)
def test_a_trip_never_costs_less_farther_away(
    near: float, further: float, load: float, crew: int, rate: float, fixed: float, per_m: float, speed: float
) -> None:
    def cost(distance: float) -> float:
        return float(
            trip_cost(
                distance_m=distance,
                load_h=load,
                crew=crew,
                crew_rate=rate,
                fixed=fixed,
                per_distance=per_m,
                speed_m_per_h=speed,
            )
        )

    assert cost(near + further) >= cost(near) >= load * (crew * rate) + fixed


def test_the_cost_of_a_trip_worked_by_hand() -> None:
    """1 h loading x 2 x 40 = 80; 2 x 30 km x (0.50 + 2 x 40 / 60) = 110; 15 for stairs: 205."""
    assert trip_cost(
        distance_m=30_000,
        load_h=1.0,
        crew=2,
        crew_rate=40.0,
        fixed=15.0,
        per_distance=0.0005,
        speed_m_per_h=60_000,
    ) == pytest.approx(80 + 2 * 30 * (0.50 + 80 / 60) + 15)
