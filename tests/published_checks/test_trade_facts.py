"""Facts of the trade about panels of letter sheets: common practice, no source."""

from __future__ import annotations

import pytest
from published_checks.helpers import (
    BAGGING_PRICES,
    GALLON_L,
    INCH_M,
    LETTER_M2,
    LETTER_PANEL,
    codes,
    fibre_fraction,
    line,
    warned,
)

PLY = 0.1835  # mm a ply, between 0.18 and 0.187
PANEL_M2 = 24 * LETTER_M2
USUAL = '[laminate]\nbleed = "0.45 L/m2"\nmixing_loss = "8 %"\nwet_out = "80 g/m2"\n'  # the starter values


def panel(plies: int, ply: float = PLY, more: str = "") -> str:
    """A panel as thick as so many plies, less a quarter of one."""
    return LETTER_PANEL.format(thickness=f"{(plies - 0.25) * ply!r} mm", ply=f"{ply} mm", more=more)


# Common practice, no source: blocks of 17 plies, two a round, 24 letter sheets a ply.
@pytest.mark.parametrize(
    ("plies", "blocks", "rounds", "sheets"),
    [(68, 4, 2, 1632), (102, 6, 3, 2448), (204, 12, 6, 4896), (238, 14, 7, 5712)],
)
def test_blocks_rounds_and_sheets(price, plies, blocks, rounds, sheets):
    got = price(panel(plies), "", BAGGING_PRICES)["quantities"]
    assert got["laminate_plies"] == plies == 17 * blocks
    assert got["bag_cycles"] == rounds
    assert got["laminate_sheets"] == sheets


# Common practice, no source: with 3 % spoilage roughly 5,900 sheets are bought for 5,712 laid.
def test_sheets_bought_with_spoilage(price):
    shop = '[laminate]\nspoilage = "3 %"\n'
    data = price(panel(238), shop, BAGGING_PRICES)
    assert data["quantities"]["laminate_sheets"] == pytest.approx(5712 * 1.03, rel=1e-12)
    assert line(data, "laminate.panel.ply")["quantity"] == pytest.approx(5900, rel=0.005)


# Common practice, no source: 68 plies cure to slightly under 1/2 in. A panel of 12.24 mm (68 x 0.18) needs 68; one
# of 1/2 in needs the next block. At the thick end, 0.187 mm, 68 plies pass 1/2 in by 0.016 mm, so it stops at 0.1865.
@pytest.mark.parametrize("ply", [0.18, PLY, 0.185, 0.1865])
def test_sixty_eight_plies_are_slightly_under_half_an_inch(price, ply):
    def plies(thickness: str) -> float:
        job = LETTER_PANEL.format(thickness=thickness, ply=f"{ply} mm", more="")
        return float(price(job, "", BAGGING_PRICES)["quantities"]["laminate_plies"])

    assert plies(f"{68 * ply!r} mm") == 68
    assert plies("1/2 in") == 85
    assert 0.955 < 68 * ply / 12.7 < 1  # slightly under: within 4.5 %


# Common practice, no source: 75 g/m2 paper of 1500 kg/m3 fibre, a fibre fraction of 0.27 to 0.28 (two digits).
@pytest.mark.parametrize("ply", [0.18, PLY, 0.185, 0.187])
def test_fibre_fraction_of_a_letter_sheet_panel(price, ply):
    data = price(panel(68, ply), "", BAGGING_PRICES)
    assert round(fibre_fraction(data, PANEL_M2, ply), 2) in (0.27, 0.28)
    assert "fibre_fraction" not in codes(data)


# Common practice, no source: about 15 US gal of resin go into roughly 5,900 letter sheets, 14 to 22 % of it lost.
def test_resin_of_a_large_panel(price):
    used = price(panel(238), USUAL, BAGGING_PRICES)["quantities"]["resin_litres"]
    kept = price(panel(238), "", BAGGING_PRICES)["quantities"]["resin_litres"]  # no bleed, no losses
    assert 0.14 <= 1 - kept / used <= 0.22
    assert used == pytest.approx(15 * GALLON_L, rel=0.10)


# The kept share is exact (D): A n (t - m / rho).
def test_resin_that_stays_in_the_panel(price):
    kept = price(panel(238), "", BAGGING_PRICES)["quantities"]["resin_litres"]
    assert kept == pytest.approx(PANEL_M2 * 238 * (PLY - 75 / 1500), rel=1e-12)


# Common practice, no source: a larger sheet does not put more fibre in the panel; wet sheet outside it drinks resin.
def test_a_larger_sheet_does_not_move_the_fibre_fraction(price):
    plain = panel(238)
    larger = plain.replace('"11 in"', '"12.1 in"').replace('"8 1/2 in"', '"9.35 in"')
    fractions = [fibre_fraction(price(job, "", BAGGING_PRICES), PANEL_M2, PLY) for job in (plain, larger)]
    assert fractions[0] == pytest.approx(fractions[1], rel=1e-12)
    usual = [price(job, USUAL, BAGGING_PRICES)["quantities"]["resin_litres"] for job in (plain, larger)]
    assert usual[0] < usual[1]


FIRST_H = 4.66
PACE = f'time_per_ply = "{FIRST_H * 60 / 34!r} min"\nlearning = "85 %"'


def laying(price, plies: int, learning: str = "85 %") -> float:
    """Hours of laying in a panel of so many plies, 34 a round."""
    data = price(panel(plies, more=PACE.replace("85 %", learning)), "", BAGGING_PRICES)
    return float(line(data, "laminate.panel.laying")["quantity"])


# Common practice, no source: a first round of 4 to 5 h, a sixth of just over 3 h, about 22 h in six rounds: a curve
# of 85 % (unit-curve table, 4.6881 and 5.3217 first rounds), first round near 4.66 h, about 25 h for seven.
def test_rounds_get_faster(price):
    one, five, six, seven = (laying(price, 34 * rounds) for rounds in (1, 5, 6, 7))
    assert one == pytest.approx(FIRST_H, rel=1e-12)
    assert 4 <= one <= 5
    assert 3 < six - five < 3.2
    assert six == pytest.approx(FIRST_H * 4.6881, abs=3e-4)
    assert six == pytest.approx(22, abs=0.5)
    assert seven == pytest.approx(FIRST_H * 5.3217, abs=3e-4)
    assert seven == pytest.approx(25, abs=0.5)
    assert laying(price, 238, "100 %") == pytest.approx(32.62, abs=0.005)


# Common practice, no source: working time of 4 to 5 h against rounds of 4 to 5 h is too tight.
@pytest.mark.parametrize("working", [4, 4.5, 5])
@pytest.mark.parametrize("round_h", [4, FIRST_H, 5])
def test_a_round_as_long_as_the_working_time_is_warned_of(price, working, round_h):
    more = f'working_time = "{working} h"\ntime_per_ply = "{round_h * 60 / 34!r} min"'
    data = price(panel(34, more=more), "", BAGGING_PRICES)
    assert "a round of 34 plies takes" in warned(data, "round_clock")


def test_a_round_with_room_is_not_warned_of(price):
    more = 'working_time = "8 h"\ntime_per_ply = "8 min"'  # 4.5 h and 25 min to close, of 8 h
    assert "round_clock" not in codes(price(panel(34, more=more), "", BAGGING_PRICES))


# Common practice, no source: freeing the piece from the bag takes 30 to 45 min.
def test_freeing_the_piece_from_the_bag(price):
    data = price(panel(238), "[pay.owner]\nrate = 60\n", BAGGING_PRICES)
    each_min = line(data, "laminate.panel.debag-time")["quantity"] / 7 * 60
    assert 30 <= each_min <= 45
    (spread,) = [one for one in data["unsure"] if one["name"] == "laminate.debag_time"]
    assert spread["words"] == "30 .. 37 .. 45 min"
    assert spread["at_high"] - spread["at_low"] == pytest.approx(7 * 15, rel=1e-9)  # at 1 a minute


def test_a_letter_sheet_panel_is_four_by_six_sheets(price):
    # 34 x 66 in is 4 x 8 1/2 by 6 x 11 in.
    area_m2 = 34 * 66 * INCH_M**2
    assert area_m2 == pytest.approx(PANEL_M2, rel=1e-12)
    assert price(panel(17), "", BAGGING_PRICES)["quantities"]["laminate_sheets"] == 17 * 24
