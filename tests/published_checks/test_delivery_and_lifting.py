"""How far a price reaches, and what one person may lift."""

from __future__ import annotations

import pytest
from published_checks.helpers import bought, codes, example, line, reach_shop, rows, warned

from quoting.takeoff.delivery import recommended_limit_kg, trip_cost

MILE_M = 1609.344


def trip(given: dict[str, str], straight_miles: float) -> float:
    """D(d) of the worked example at a straight-line distance."""
    crew, wage = int(given["crew"]), float(given["wage"])
    return float(
        trip_cost(
            distance_m=straight_miles * float(given["road_factor"]) * MILE_M,
            load_h=float(given["load"]) / (crew * wage),
            crew=crew,
            crew_rate=wage,
            fixed=0.0,
            per_distance=float(given["rate_per_mile"]) / MILE_M,
            speed_m_per_h=float(given["speed"]) * MILE_M,
        )
    )


def sent(cost: str, straight_miles: float | str) -> str:
    return bought(cost) + f'[delivery]\nstraight_distance = "{straight_miles} mi"\n'


# Break-even arithmetic, derived: d* = (P (1 - m) - C - L) / (2 k (r + n w / v)).
def test_break_even_radius_by_the_equation():
    given, results = example("reach", "break-even radius")
    radius, near = results["radius_miles"]
    kept = float(given["price"]) * (1 - float(given["margin"])) - float(given["cost"])
    slope = trip(given, 1.0) - trip(given, 0.0)
    assert (kept - trip(given, 0.0)) / slope == pytest.approx(radius, abs=near)
    cost, near = results["delivery_cost"]
    assert trip(given, radius) == pytest.approx(cost, abs=near)


# At that radius the price is 3,000 and the margin 30 % exactly: the piece carries its whole trip.
def test_at_the_break_even_radius_the_margin_is_what_was_asked(price):
    given, results = example("reach", "break-even radius")
    radius = results["radius_miles"][0]
    data = price(sent(given["cost"], radius), reach_shop(given, 100.0))
    assert float(data["cost"]["delivery_carried"]) == results["delivery_cost"][0]
    assert float(data["price"]["goods"]) == float(given["price"])
    margin, near = results["margin_reached"]
    assert data["price"]["margin"] == pytest.approx(margin, abs=near)
    assert data["price"]["surcharge"] == "0.00"


# At 60 miles the same price needs 345.80 more: (C + D) / (1 - m) - P.
def test_surcharge_at_sixty_miles(price):
    given, results = example("reach", "surcharge at 60 miles")
    radius = example("reach", "break-even radius")[1]["radius_miles"][0]
    far = float(given["distance_miles"])
    cost, near = results["delivery_cost"]
    assert trip(given, far) == pytest.approx(cost, abs=near)
    surcharge, near = results["surcharge"]
    asked = (float(given["cost"]) + trip(given, far)) / (1 - float(given["margin"])) - float(given["price"])
    assert asked == pytest.approx(surcharge, abs=near)
    data = price(
        sent(given["cost"], given["distance_miles"]), reach_shop(given, radius * float(given["road_factor"]))
    )
    assert float(data["price"]["goods"]) == float(given["price"])
    assert float(data["price"]["surcharge"]) == pytest.approx(surcharge, abs=near)
    assert float(data["price"]["delivery_extra"]) == pytest.approx(trip(given, far) - 150, abs=0.005)
    assert data["price"]["margin"] == pytest.approx(float(given["margin"]), abs=1e-5)  # cents of 3,345.80


# Common practice, no source: zero inside the free distance, the boundary belongs to it, never falling beyond.
def test_surcharge_never_falls_with_distance(price):
    given, _ = example("reach", "surcharge at 60 miles")
    found = []
    for road in ("5", "20", "26", "26.01", "40", "78", "150"):
        job = bought(given["cost"]) + f'[delivery]\nroad_distance = "{road} mi"\n'
        data = price(job, reach_shop(given, 26.0))["price"]
        found.append((float(data["net"]), float(data["surcharge"])))
    assert [surcharge for _, surcharge in found[:3]] == [0.0, 0.0, 0.0]
    assert found[3][1] == pytest.approx(2 * 0.01 * (0.7 + 50 / 35) / 0.7, abs=0.005)  # no jump
    assert found == sorted(found)


def metric(row: dict[str, str]) -> dict[str, float]:
    """A lift in our units.

    The equation's two systems are no exact conversions: they set 1 in against 2.5 cm (10/H and 25/H, 1.8/D and
    4.5/D, 30 in and 75 cm) and 51 lb against 23 kg. Taken so, the multipliers are the same to the last digit.
    """
    cm = 1.0 if row["system"] == "kg and cm" else 2.5
    return {
        "horizontal_m": float(row["horizontal"]) * cm / 100,
        "vertical_m": float(row["vertical"]) * cm / 100,
        "travel_m": float(row["distance"]) * cm / 100,
    }


def limit(row: dict[str, str]) -> float:
    """The recommended limit in the row's own unit of mass."""
    kilograms = recommended_limit_kg(
        **metric(row),
        turn_deg=float(row["asymmetry_deg"]),
        frequency=float(row["frequency_multiplier"]),
        grip=row["coupling"],
    )
    return float(kilograms) * (1.0 if row["system"] == "kg and cm" else 51 / 23)


LIFTS = [pytest.param(row, id=f"{row['example']} {row['place']} {row['system']}") for row in rows("lifting")]


# DHHS (NIOSH) 94-110, examples 1 to 4 (inputs from memory), full precision recomputed.
@pytest.mark.parametrize("row", LIFTS)
def test_recommended_limit_of_a_worked_lift(row):
    near = float(row["tolerance"])
    assert limit(row) == pytest.approx(float(row["rwl"]), abs=near)
    if row["lifting_index"]:
        assert float(row["load"]) / limit(row) == pytest.approx(float(row["lifting_index"]), abs=near)


# The manual prints products of multipliers rounded to two digits: each may be off by half a hundredth of itself.
@pytest.mark.parametrize("row", [param for param in LIFTS if param.values[0]["rwl_printed"]])
def test_recommended_limit_as_printed(row):
    in_h, in_v, in_d = (float(row[name]) for name in ("horizontal", "vertical", "distance"))
    multipliers = (10 / in_h, 1 - 0.0075 * abs(in_v - 30), 0.82 + 1.8 / in_d)
    turned = 1 - 0.0032 * float(row["asymmetry_deg"])
    rounded = sum(0.0055 / one for one in (*multipliers, turned) if one != 1)  # .4348 is printed as .44
    printed = float(row["rwl_printed"])
    assert limit(row) == pytest.approx(printed, abs=printed * rounded + 0.05)


# The manual's bounds: beyond H 63 cm, V 175 cm or a turn of 135 degrees nothing; nearer than 25 cm counts as 25.
def test_bounds_of_the_lifting_equation():
    best = {"horizontal_m": 0.25, "vertical_m": 0.75, "travel_m": 0.25, "grip": "good"}
    assert float(recommended_limit_kg(**best)) == pytest.approx(23.0, rel=1e-12)
    assert float(recommended_limit_kg(**{**best, "horizontal_m": 0.1})) == pytest.approx(23.0, rel=1e-12)
    assert float(recommended_limit_kg(**{**best, "travel_m": 0.1})) == pytest.approx(23.0, rel=1e-12)
    for beyond in ({"horizontal_m": 0.631}, {"vertical_m": 1.751}, {"turn_deg": 136.0}):
        assert float(recommended_limit_kg(**{**best, **beyond})) == 0.0


METRIC = [param for param in LIFTS if param.values[0]["system"] == "kg and cm"]


# The caution of the command speaks up just above the published limit and not just below.
@pytest.mark.parametrize("row", METRIC)
def test_the_lifting_warning_stands_at_the_published_limit(price, row):
    lift = f"""
[shop]
units = "metric"
[lift]
horizontal = "{row["horizontal"]} cm"
vertical = "{row["vertical"]} cm"
travel = "{row["distance"]} cm"
grip = "{row["coupling"]}"
"""
    wanted = float(row["rwl"])
    for kilograms, heavy in ((wanted - 0.001, False), (wanted + 0.001, True)):
        job = f'[[buy]]\nitem = "stone"\nquantity = 1\nprice = 1\nmass = "{kilograms!r} kg"\n'
        data = price(job, lift)
        assert data["quantities"]["mass_kg"] == pytest.approx(kilograms, rel=1e-12)
        assert ("lifting" in codes(data)) == heavy
    assert "revised NIOSH lifting equation" in warned(data, "lifting")


# D: three tops of 32.35, 48.6 and 55.5 kg are 3.1, 4.7 and 5.4 times the limit of 10.35 kg (H 50 cm, poor grip):
# a shop that allows an index of 3 is still warned, one that allows 6 is not.
@pytest.mark.parametrize(("kilograms", "index"), [(32.35, 3.1), (48.6, 4.7), (55.5, 5.4)])
def test_three_tops_are_no_load_for_one(price, kilograms, index):
    job = f'[[buy]]\nitem = "top"\nquantity = 1\nprice = 1\nmass = "{kilograms} kg"\n'
    for allowed, heavy in ((1, True), (index - 0.06, True), (index + 0.06, False)):
        data = price(job, f"[warnings]\nlift_index = {allowed!r}\n")
        assert ("lifting" in codes(data)) == heavy
    assert line(data, "buy.top.item")["amount"] == "1.00"
