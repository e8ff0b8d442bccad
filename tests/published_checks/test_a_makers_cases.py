"""Cases a working maker would expect to come out right, through the real command (common practice, no source)."""

from __future__ import annotations

import pytest

HEAD = '[piece]\ntitle = "backs"\nquantity = {copies}\n'
BACK = """
[[sheet]]
part = "back"
item = "board"
length = "10 in"
width = "10 in"
sheet_length = "60 in"
sheet_width = "60 in"
kerf = "0 in"
mass_per_area = "4 kg/m2"
"""
PANEL = """
[[laminate]]
part = "panel"
length = "10 in"
width = "10 in"
thickness = "1/4 in"
ply = "letter sheet"
ply_mass = "75 g/m2"
fibre = "paper"
ply_thickness = "0.1835 mm"
sheet_length = "14 in"
sheet_width = "14 in"
resin = "plain resin"
plies_per_round = 20
{more}
"""
BOOK = "letter sheet,each,0.02\nplain resin,L,20\nbag film,m2,2\nsealant tape,m,1\npeel ply,m2,4\nbreather,m2,3\n"


def line(data, id):
    return next(one for one in data["lines"] if one["id"] == id)


def test_ten_small_parts_share_a_sheet(price):
    data = price(HEAD.format(copies=10) + BACK, "", "board,sheet,40")
    assert data["quantities"]["sheets"] == 1
    assert data["cost"]["sheet"] == "40.00"
    assert data["quantities"]["mass_kg"] == pytest.approx(0.254**2 * 4)


def test_set_up_and_programming_are_paid_once_for_several_pieces(price):
    shop = '[machine.mill]\nrate = 10\n[standard.machine_setup]\napplies_to = ["machine"]\n[standard.programming]\nstage = "bench"\n'
    job = '[[machine]]\ntask = "cut"\nmachine = "mill"\nhours = "1 h"\nsetup = "2 h"\nnew_part = true\n'
    data = price(HEAD.format(copies=5) + job, shop)
    assert line(data, "machine.cut.machine")["quantity"] == pytest.approx(5 + 2)
    assert line(data, "machine.cut.programming")["quantity"] == pytest.approx(2)


def test_counted_things_of_a_cycle_may_have_any_name(price):
    shop = "[bagging.per_cycle]\ntape = 1\nresin = 2\n"
    data = price(PANEL.format(more=""), shop, BOOK + "tape,each,1\nresin,each,1\n")
    ids = [one["id"] for one in data["lines"]]
    assert len(ids) == len(set(ids))


def test_a_channel_is_not_excused_for_being_called_owner(refused):
    assert "no channel" in refused('[price]\nchannel = "owner"\n[[work]]\ntask = "a"\nhours = "1 h"\n')


def test_work_takes_the_place_of_one_parts_line_only(price):
    shop = '[standard.sanding]\napplies_to = ["hardwood"]\n'
    board = '[[hardwood]]\npart = "{}"\nspecies = "red oak"\nlength = "1 m"\nwidth = "10 cm"\nthickness = "1 in"\nrough = "4/4"\n'
    work = '[[work]]\ntask = "scrape"\npart = "a"\nhours = "1 h"\nreplaces = "sanding"\n'
    data = price(board.format("a") + board.format("b") + work, shop, "red oak 4/4,bd ft,3.5")
    ids = [one["id"] for one in data["lines"]]
    assert "hardwood.a.sanding" not in ids
    assert "hardwood.b.sanding" in ids


def test_work_that_takes_the_place_of_nothing_is_refused(refused):
    job = '[[work]]\ntask = "scrape"\npart = "nowhere"\nhours = "1 h"\nreplaces = "sanding"\n'
    assert "no line to take the place of" in refused(job)


def test_a_cause_cannot_push_a_loss_past_everything(refused):
    job = PANEL.format(more='mixing_loss = { value = "8 %", cause = "c" }') + "[cause.c]\nfactor = 13\n"
    assert "mixing_loss: found 100 % or more" in refused(job, "", BOOK)


def test_pace_is_a_cause_that_any_field_may_name(price):
    job = '[[buy]]\nitem = "a"\nquantity = 1\nprice = { value = "100", cause = "pace" }\n'
    assert price(job, "[pace]\nfactor = 2\n")["cost"]["buy"] == "200.00"


def test_a_shop_may_name_causes_too(price):
    job = '[[buy]]\nitem = "a"\nquantity = 1\nprice = { value = "100", cause = "market" }\n'
    assert price(job, "[cause.market]\nfactor = 1.5\n")["cost"]["buy"] == "150.00"


def test_an_unknown_cause_of_the_shop_is_refused(refused):
    shop = '[laminate]\nbleed = { value = "0.4 L/m2", cause = "nonsense" }\n'
    assert 'found cause "nonsense"' in refused('[[work]]\ntask = "a"\nhours = "1 h"\n', shop)


def test_a_small_leg_is_never_tallied_away(price):
    job = '[[hardwood]]\npart = "leg"\nspecies = "red oak"\nlength = "10 in"\nwidth = "2 in"\nthickness = "1 in"\nrough = "4/4"\n'
    data = price(job, '[timber]\ntally = "surface measure"\n', "red oak 4/4,bd ft,3.5")
    assert data["quantities"]["hardwood_bd_ft"] == pytest.approx(1)


def test_a_time_for_an_operation_that_a_part_has_not_is_refused(refused):
    job = '[[buy]]\nitem = "a"\nquantity = 1\nprice = 1\nstandard = { sanding = "2 h" }\n'
    assert "makes no line on this part" in refused(job)


def test_a_timber_of_the_shops_own_has_its_mass(price):
    job = '[[hardwood]]\npart = "a"\nspecies = "bog oak"\nlength = "1 m"\nwidth = "10 cm"\nthickness = "1 in"\nrough = "4/4"\n'
    data = price(job, '[species."bog oak"]\ndensity = "900 kg/m3"\n', "bog oak 4/4,bd ft,3.5")
    assert data["quantities"]["mass_kg"] == pytest.approx(0.1 * 0.0254 * 900)


def test_carriage_is_judged_by_whole_packs_and_paid_in_cash(price):
    shop = "[supplier.yard]\ncarriage = 30\nleast_order = 100\n"
    job = '[[finish]]\npart = "oil"\narea = "1 m2"\ncoats = 1\ncoverage = "1 m2/L"\nproduct = "oil"\n[[buy]]\nitem = "knob"\nquantity = 1\n'
    book = "oil,L,20,5,,yard\nknob,each,{},,,yard\n"
    small, large = (price(job, shop, book.format(each)) for each in (0, 1))
    assert (small["cost"]["carriage"], large["cost"]["carriage"]) == ("0.00", "0.00")
    below = price(job, shop, book.replace("oil,L,20", "oil,L,19").format(1))
    assert below["cost"]["carriage"] == "30.00"
    assert below["cost"]["cash"] == "126.00"  # 5 L of oil at 19, a knob at 1, carriage


def test_a_sheet_without_its_mass_is_told(price):
    data = price(BACK.replace('mass_per_area = "4 kg/m2"\n', ""), "", "board,sheet,40")
    assert "mass" in [one["code"] for one in data["warnings"]]


def test_each_layer_of_a_panel_is_glued_up_and_then_the_layers(price):
    shop = '[standard.glue_up]\ntime = "1 h"\n'
    job = '[[hardwood]]\npart = "top"\nspecies = "red oak"\nlength = "1 m"\nwidth = "60 cm"\nthickness = "2 in"\nrough = "4/4"\nlayers = 2\nglued_up = true\n'
    assert line(price(job, shop, "red oak 4/4,bd ft,3.5"), "hardwood.top.glue_up")[
        "quantity"
    ] == pytest.approx(3)


def test_a_build_starts_when_the_things_are_there(price):
    shop = '[shop]\nbooked_ahead = "1 week"\nweek = { days = 5, hours = 35 }\n'
    job = '[[work]]\ntask = "a"\nhours = "70 h"\n[[buy]]\nitem = "b"\nquantity = 1\nprice = 1\nlead = "3 weeks"\n'
    quantities = price(job, shop)["quantities"]
    assert quantities["bench_days"] == pytest.approx(14)
    assert quantities["lead_days"] == pytest.approx(21 + 14)
