"""What holds for any seats: rows, repeats, turning, draws, pieces alike, foam by the sheet, what the client brings, mass."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_checks.helpers import codes, line, warned
from trades.upholstery.seats import SHOP, seat

from quoting.pick import likely
from quoting.trades.upholstery.equations import take_off
from quoting.trades.upholstery.record import CoverPiece, Upholstery, UpholsteryDefaults
from quoting.values import Uncertain, certain

CHECKS = settings(deadline=None, database=None, derandomize=True)

OWN = UpholsteryDefaults(
    roll_width=1.4, turn_under=0.06, waste=certain(0.1), mass_per_area=0.4, foam_density=32.0, least_density=28.0,
    foam_waste=certain(0.1), webbing_spacing=0.075, webbing_ends=0.15,
)  # fmt: skip
SHOP_OF_SEATS: Any = SimpleNamespace(sections={"upholstery": OWN}, shop=SimpleNamespace(units="metric"))


def taken(part: Upholstery, pick: Any = likely) -> Any:
    return take_off(part, SHOP_OF_SEATS, None, pick)  # type: ignore[arg-type]


def fabric_m(part: Upholstery) -> float:
    return float(taken(part).facts["fabric_m"])


side = st.floats(0.05, 0.6)
repeat = st.one_of(st.just(0.0), st.floats(0.01, 0.7))
seats = st.builds(
    Upholstery, part=st.just("seat"), id=st.just("seat"), fabric=st.just("twill"), length=side, width=side,
    quantity=st.integers(1, 40), wrap=st.floats(0, 0.2), repeat_along=repeat, repeat_across=repeat,
    railroaded=st.booleans(), foam=st.just("foam"), thickness=st.floats(0.01, 0.2), webbing=st.just("jute"),
    cover=st.lists(
        st.builds(CoverPiece, name=st.just("strip"), length=side, width=side, count=st.integers(1, 5)), max_size=2
    ).map(tuple),
)  # fmt: skip


@given(seats)
@CHECKS
def test_one_seat_more_never_takes_less(part):
    """Of covers in one piece: a row more of seats may have room beside it for all other pieces."""
    part = replace(part, cover=())
    more = replace(part, quantity=part.quantity + 1)
    assert fabric_m(more) >= fabric_m(part)
    for fact in ("foam_kg", "webbing_m"):
        assert taken(more).facts[fact] > taken(part).facts[fact]


@given(seats, st.floats(0, 0.5))
@CHECKS
def test_a_wider_roll_never_takes_more(part, wider):
    """Of covers in one piece: where others are cut beside them, a row of one seat more may leave less beside it."""
    part = replace(part, cover=())
    assert fabric_m(replace(part, roll_width=1.4 + wider)) <= fabric_m(part) * (1 + 1e-9)


@given(seats)
@CHECKS
def test_pieces_beside_others_never_take_more_than_rows_of_their_own(part):
    alone = [replace(part, quantity=part.quantity, cover=())]
    for one in part.cover:
        alone.append(replace(part, length=one.length, width=one.width, quantity=part.quantity * one.count, wrap=0.0, cover=()))  # fmt: skip
    rows = sum(fabric_m(one) for one in alone)
    assert fabric_m(alone[0]) * (1 - 1e-9) <= fabric_m(part) <= rows * (1 + 1e-9)


def test_small_pieces_are_cut_beside_the_seat():
    """From 1400 mm: a seat of 500 mm leaves 900 x 600 mm beside it: 6 strips of 100 x 900 mm there, the seventh takes a row."""
    one = Upholstery(part="seat", id="seat", fabric="twill", length=0.6, width=0.5, wrap=0.0)
    for strips, wanted in ((6, 0.6), (7, 0.7)):
        boxing = CoverPiece(name="boxing", length=0.1, width=0.9, count=strips)
        assert fabric_m(replace(one, cover=(boxing,))) == pytest.approx(wanted * 1.1, rel=1e-9)
        # Beside the strips 500 mm of the row are left only where the seat stands: a third size finds the row that the seventh strip began.
        patch = CoverPiece(name="patch", length=0.1, width=0.4)
        assert fabric_m(replace(one, cover=(boxing, patch))) == pytest.approx(0.7 * 1.1, rel=1e-9)


@given(seats)
@CHECKS
def test_turned_seats_that_are_square_take_the_same(part):
    square = replace(part, width=part.length, cover=())
    turned = replace(square, railroaded=not part.railroaded)
    assert taken(turned) == taken(square)


@given(seats)
@CHECKS
def test_turning_is_swapping_the_sides(part):
    swapped = [replace(one, length=one.width, width=one.length) for one in part.cover]
    other = replace(part, length=part.width, width=part.length, railroaded=not part.railroaded, cover=tuple(swapped))  # fmt: skip
    assert fabric_m(other) == fabric_m(part)


@given(seats)
@CHECKS
def test_a_repeat_costs_less_than_one_of_it_a_row(part):
    """And never less than nothing; each of the sizes has at most as many rows as pieces."""
    across_alone = replace(part, repeat_along=0.0)
    rows = part.quantity * (1 + sum(one.count for one in part.cover))
    assert fabric_m(part) - fabric_m(across_alone) + 1e-9 >= 0
    assert fabric_m(part) - fabric_m(across_alone) <= rows * part.repeat_along * 1.1 * (1 + 1e-6) + 1e-9


@given(seats)
@CHECKS
def test_what_is_bought_holds_what_is_cut(part):
    for need in taken(part).needs:
        assert 0 < need.kept <= 1 + 1e-9
        assert all(amount > 0 for amount in need.amounts.values())


@given(seats, st.lists(st.floats(0, 0.6), min_size=3, max_size=3))
@CHECKS
def test_draws_give_the_bits_of_numbers(part, shares):
    low, middle, high = sorted(shares)
    drawn = replace(part, waste=Uncertain(low, middle, high, "waste"), foam_waste=Uncertain(low, middle, high, "foam"))  # fmt: skip
    many = taken(drawn, lambda one: np.array([one.low, one.likely, one.high]))
    for i, pick in enumerate((lambda one: one.low, likely, lambda one: one.high)):
        alone = taken(drawn, pick)
        for need, single in zip(many.needs, alone.needs, strict=True):
            for dimension, amount in need.amounts.items():
                assert np.broadcast_to(amount, (3,))[i] == single.amounts[dimension]
        for fact, value in many.facts.items():
            assert np.broadcast_to(value, (3,))[i] == alone.facts[fact]


HEAD = '[piece]\ntitle = "stools"\nquantity = {}\n'
ONE = {
    "length": "17 in",
    "width": "18 in",
    "foam": "seat foam",
    "thickness": "2 in",
    "webbing": "jute webbing",
}


def test_pieces_alike_share_rows_of_fabric(price):
    """Two stools of one seat are two seats: both come from one row, where two rows would be bought for each by itself."""
    one, two = (price(HEAD.format(n) + seat(**ONE)) for n in (1, 2))
    both = price(HEAD.format(1) + seat(**ONE, quantity=2))
    assert two["quantities"]["fabric_m"] == one["quantities"]["fabric_m"]
    mass = {"mass_kg", "lead_days", "bench_days"}
    for name in set(both["quantities"]) - mass:
        assert two["quantities"][name] == pytest.approx(both["quantities"][name]), name
    assert both["quantities"]["mass_kg"] == pytest.approx(2 * two["quantities"]["mass_kg"])


def test_mass_is_of_foam_and_cover(price):
    """D: foam 0.4 x 0.5 x 0.05 m at 30 kg/m3 is 0.3 kg; a cover of 0.5 x 0.6 m at 400 g/m2 is 0.12 kg."""
    data = price(seat(length="400 mm", width="500 mm", wrap="50 mm", foam="seat foam", thickness="50 mm",
                      foam_density="30 kg/m3", mass_per_area="400 g/m2"))  # fmt: skip
    assert data["quantities"]["mass_kg"] == pytest.approx(0.42)


def test_foam_by_the_sheet_is_bought_in_whole_sheets(price):
    """D: of 1000 x 2000 mm come 2 x 4 pads of 450 x 480 mm (the other way 2 x 4 too): nine pads take two sheets."""
    pads = seat(length="450 mm", width="480 mm", quantity=9, foam="foam sheet", thickness="50 mm", sheet_length="2000 mm", sheet_width="1000 mm")  # fmt: skip
    foam = line(price(pads), "upholstery.seat.foam")
    assert (foam["quantity"], foam["unit"], foam["amount"]) == (2, "sheet", "140.00")


def test_linings_are_priced_by_area(price):
    """D: wadding (400 + 100) x (500 + 100) mm, dust cover 400 x 500 mm."""
    data = price(seat(length="400 mm", width="500 mm", foam="seat foam", thickness="50 mm", wadding="wadding", dust_cover="calico"))  # fmt: skip
    assert line(data, "upholstery.seat.wadding")["quantity"] == pytest.approx(0.3)
    assert line(data, "upholstery.seat.dust_cover")["quantity"] == pytest.approx(0.2)


def test_fabric_of_the_client_costs_nothing_and_is_told_by_its_length(price):
    """COM: no price is asked for, and the client learns how much to bring."""
    data = price(seat(length="27 in", width="27 in", roll_width="54 in", quantity=2, fabric="heirloom tapestry", supplied="client"))  # fmt: skip
    own = line(data, "upholstery.seat.fabric")
    assert (own["amount"], own["unit"], own["supplied"]) == ("0.00", "yd", "client")
    assert own["quantity"] == pytest.approx(0.75)
    assert "heirloom tapestry" not in [row["item"] for row in data["buying"]]


def test_a_seat_may_be_larger_in_parts_than_its_roll_the_other_way(price, refused):
    """What is too wide both ways is refused without an advice that would not help."""
    said = refused(seat(length="1500 mm", width="1600 mm", roll_width="1372 mm"))
    assert "across a roll of 1372 mm (54.02 in); write a wider roll_width, or seam it" in said


@pytest.mark.parametrize("field", ["roll_width", "foam_density", "webbing_spacing"])
def test_a_shop_without_a_size_is_told(refused, field):
    nothing = "0 kg/m3" if field == "foam_density" else "0 mm"
    assert f"upholstery.{field}: found 0" in refused(seat(), shop=SHOP + f'{field} = "{nothing}"\n')


def test_the_warning_needs_a_seat_that_has_foam(price):
    """A cover alone has no foam to doubt."""
    assert "foam_density" not in codes(price(seat(), shop=SHOP + 'foam_density = "20 kg/m3"\n'))


def test_a_roll_in_yards_for_inches_is_doubted(price):
    assert "a roll of 1944 in is wider than any cloth is sold" in warned(
        price(seat(roll_width="54 yd")), "wide_roll"
    )
    assert "wide_roll" not in codes(price(seat(roll_width="118 in")))
