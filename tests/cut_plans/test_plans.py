"""Cut plans of whole jobs: nothing is missing, all of it can be sawn, and what is charged is what the plan says."""

from __future__ import annotations

from datetime import date
from itertools import count
from typing import TYPE_CHECKING

import numpy as np
import pytest
from cut_plans.plans import brief_of, faults, shop_of
from hypothesis import given
from hypothesis import strategies as st

from quoting.costing.model import cost
from quoting.cut_plans.items import shapes
from quoting.cut_plans.plan import unplanned, unused_rows
from quoting.job.starters import wording
from quoting.nesting.pattern import USUAL
from quoting.pick import draws, likely
from quoting.pricing.lists import buying
from quoting.pricing.price import priced
from quoting.runs.pricing import read_brief
from quoting.takeoff.numbers import interlocked_m
from quoting.trades.hardwood import TIMBER

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.job.brief import Brief

SEAT = """
[[hardwood]]
part = "seat"
species = "red oak"
length = "38 in"
width = "5 5/8 in"
thickness = "3/4 in"
quantity = 3
"""  # 40 x 6 in blanks of 4/4 with the allowances of the starter shop


def board(length: str, width: str, **more: object) -> str:
    rows = "".join(f"{name} = {value}\n" for name, value in more.items())
    return f'[[board]]\nspecies = "red oak"\nstock = "4/4"\nlength = "{length}"\nwidth = "{width}"\n{rows}'


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    return shop_of(tmp_path)


def read(jobs: Path, text: str, *settings: str) -> Brief:
    brief, problems = brief_of(jobs, text, *settings)
    assert problems == []
    assert brief is not None
    return brief


sizes = st.integers(4, 60)


@st.composite
def random_job(draw: st.DrawFn) -> tuple[str, list[str]]:
    """Parts and boards of one species and thickness, sheets of one item, bars of another, some of each on the rack."""
    number = count(1)
    text, paths = "", []
    for _ in range(draw(st.integers(1, 4))):
        name = f"w{next(number)}"
        glued = draw(st.booleans())
        text += (
            f'[[hardwood]]\npart = "{name}"\nspecies = "red oak"\nlength = "{draw(sizes)} in"\n'
            f'width = "{draw(st.integers(2, 20 if glued else 6))} in"\nthickness = "3/4 in"\nrough = "4/4"\n'
            f"quantity = {draw(st.integers(1, 3))}\nglued_up = {str(glued).lower()}\n"
        )
        paths.append(f"hardwood.{name}")
    for _ in range(draw(st.integers(0, 3))):
        name = f"s{next(number)}"
        text += (
            f'[[sheet]]\npart = "{name}"\nitem = "ply"\nlength = "{draw(st.integers(50, 1200))} mm"\nwidth = "{draw(st.integers(50, 600))} mm"\n'
            f'quantity = {draw(st.integers(1, 5))}\nsheet_length = "2440 mm"\nsheet_width = "1220 mm"\ngrain = {draw(st.sampled_from(("true", "false")))}\n'
        )
        paths.append(f"sheet.{name}")
    text += '[[sheet_size]]\nitem = "ply"\nlength = "1500 mm"\nwidth = "1500 mm"\nprice = 50\n'
    for _ in range(draw(st.integers(1, 3))):
        wide, more = draw(st.integers(7, 12)), {}
        if draw(st.booleans()):
            more["defects"] = (
                f'[{{ from_end = "{draw(st.integers(0, 60))} in", length = "{draw(st.integers(1, 9))} in", width = "3 in" }}]'
            )
        if draw(st.booleans()):
            more |= {"supplied": '"rack"', "count": 1}
        elif draw(st.booleans()):
            more["price"] = draw(st.integers(5, 60))
        text += board(f"{draw(st.integers(64, 140))} in", f"{wide} in", **more)
    return text + board("150 in", "12 in"), paths


@given(random_job())
def test_every_plan_of_a_random_job_can_be_sawn(
    tmp_path_factory: pytest.TempPathFactory, job: tuple[str, list[str]]
) -> None:
    """By a checker that knows nothing of the planner: it follows the printed cuts."""
    text, paths = job
    jobs = shop_of(tmp_path_factory.mktemp("shop"))
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,80,,,,,\n")
    brief = read(jobs, text)
    assert [fault for plan in brief.plans for fault in faults(plan)] == []
    assert {one.path for plan in brief.plans for stock in plan.stocks for one in stock.pieces} == set(paths)
    timber = TIMBER.of(brief.shop)
    for trade in ("hardwood", "sheet"):
        for part in brief.job.parts.get(trade, ()):
            mine = [
                one
                for plan in brief.plans
                for stock in plan.stocks
                for _ in range(stock.number)
                for one in stock.pieces
                if one.path == f"{trade}.{part.id}"
            ]
            if trade == "hardwood" and part.glued_up:
                for panel in range(1, part.quantity + 1):
                    wide = sum(one.width_m - timber.joint_loss for one in mine if one.panel == panel)
                    assert wide >= part.width + timber.width_allowance - 1e-9
            else:
                assert len(mine) == part.quantity
    _charged_as_planned(brief)


def _charged_as_planned(brief: Brief) -> None:
    """Lines of the planned parts add up to what the plans charge."""
    run = cost(brief, likely)
    for plan in brief.plans:
        amounts = [
            float(line.amount) for line in run.lines if line.group == plan.trade and line.item == plan.item
        ]
        assert sum(amounts) == pytest.approx(plan.charged, rel=1e-9)
        assert plan.bound <= plan.bought * (1 + 1e-12)


def test_whole_boards_are_bought_by_the_board_foot(jobs: Path) -> None:
    """Two boards of 8 ft x 6 in x 1 in are 8 board feet (width in x length ft x thickness in / 12; common practice, no source)."""
    brief = read(jobs, SEAT + board("8 ft", "6 in"))
    [line] = [line for line in cost(brief, likely).lines if line.group == "hardwood"]
    assert line.unit == "bd ft"
    assert float(line.quantity) == pytest.approx(8.0)
    assert "by the cut plan" in line.basis.words
    [plan] = brief.plans
    assert plan.waste == pytest.approx(1 - 3 * 40 * 6 / (2 * 96 * 6))


def test_a_draw_uses_the_yield_of_the_plan(jobs: Path) -> None:
    """Where a plan stands in for the waste, the timber of a part is the same in every draw."""
    waste = read(jobs, SEAT)
    planned = read(jobs, SEAT + board("8 ft", "6 in"))
    of = next(line for line in cost(waste, draws(1, 50)).lines if line.group == "hardwood").quantity
    assert np.unique(np.asarray(of)).size > 40
    [line] = [line for line in cost(planned, draws(1, 50)).lines if line.group == "hardwood"]
    assert float(line.quantity) == pytest.approx(8.0)


def test_surface_measure_tallies_every_board(jobs: Path) -> None:
    """8 ft x 5 in has 3 1/3 square feet: a yard that tallies whole ones charges 3 a board, not 7 for two (common practice, no source)."""
    part = SEAT.replace("5 5/8", "4 5/8")
    brief = read(jobs, part + board("8 ft", "5 in"), "timber.tally=surface measure")
    [line] = [line for line in cost(brief, likely).lines if line.group == "hardwood"]
    assert float(line.quantity) == pytest.approx(6.0)


def test_the_cheaper_board_is_bought(jobs: Path) -> None:
    """One wide board at a price of its own against two by the foot."""
    brief = read(jobs, SEAT + board("8 ft", "6 in") + board("84 in", "12 1/8 in", price=20))
    [plan] = brief.plans
    assert [(stock.where, stock.number) for stock in plan.stocks] == [("board.2", 1)]
    assert plan.bought == plan.charged == 20
    [line] = [line for line in cost(brief, likely).lines if line.group == "hardwood"]
    assert line.id == "hardwood.seat.yard"
    assert float(line.amount) == pytest.approx(20)


def test_the_rack_is_used_first_and_charged_as_far_as_it_is_used(jobs: Path) -> None:
    """A board of 60 in from the rack gives one blank; 19 7/8 in of it is kept and goes back."""
    rack = board("60 in", "6 in", supplied='"rack"', price=10)
    brief = read(jobs, SEAT + board("83 in", "6 in") + rack)
    [plan] = brief.plans
    from_rack = next(stock for stock in plan.stocks if stock.supplied == "rack")
    assert from_rack.used == pytest.approx((1 - 19.875 / 60) * 1.15)
    assert sum(stock.number for stock in plan.stocks if stock.supplied == "bought") == 1
    lines = {line.id: line for line in cost(brief, likely).lines if line.group == "hardwood"}
    assert float(lines["hardwood.seat.rack"].amount) == pytest.approx(10 * from_rack.used)
    assert lines["hardwood.seat.rack"].supplied == "rack"


def test_a_board_of_the_rack_is_worth_nothing_known_where_new_ones_are_sold_by_the_piece(jobs: Path) -> None:
    """No size of a new one is known, so that no share of its price can be reckoned."""
    book = jobs.parent / "prices.csv"
    book.write_text(book.read_text("utf-8").replace("red oak 4/4,bd ft,", "red oak 4/4,each,"), "utf-8")
    brief = read(jobs, SEAT + board("12 ft", "6 in", supplied='"rack"', count=1))
    assert [stock.price for stock in brief.plans[0].stocks] == [0]


def test_charged_as_used_leaves_out_what_is_kept(jobs: Path) -> None:
    """`charge = "used"`: a board of 122 in less 80 1/8 in cut leaves 39 7/8 in, trims sawn off before."""
    two = SEAT.replace("quantity = 3", "quantity = 2")
    whole = read(jobs, two + board("122 in", "6 in", price=30))
    used = read(jobs, two + board("122 in", "6 in", price=30), "cut.charge=used", "cut.rack_waste=0 %")
    assert whole.plans[0].charged == 30
    assert used.plans[0].charged == pytest.approx(30 * (1 - 39.75 / 122))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (SEAT + board("39 in", "6 in"), "larger than any stock of red oak 4/4"),
        (SEAT + board("8 ft", "6 in", count=1), "no way to cut all parts"),
        (SEAT + board("8 ft", "6 in") + board("8 ft", "6 in").replace("red oak", "red oack"), "red oack"),
        (SEAT + board("8 ft", "6 in", defects='[{ from_end = "9 ft" }]'), "beyond the end"),
        (SEAT + board("0 in", "6 in"), "found 0"),
        (SEAT + board("-8 ft", "6 in"), "found"),
        ('[cut]\ntally = "gone.csv"\n' + SEAT, "no such file"),
        ('[cut]\ntally = "../shop.toml"\n' + SEAT, "outside the folder"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_told(jobs: Path, text: str, words: str) -> None:
    """One problem each, with the file and its line."""
    _, problems = brief_of(jobs, text)
    assert [words in problem.found for problem in problems] == [True]
    assert problems[0].file == "job.toml"
    assert problems[0].line > 0


def test_a_size_without_a_price_is_told(jobs: Path) -> None:
    """Sheets that are sold by the piece have no price in another size."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,80,,,,,\n")
    part = '[[sheet]]\npart = "back"\nitem = "ply"\nlength = "20 in"\nwidth = "20 in"\nsheet_length = "96 in"\nsheet_width = "48 in"\n'
    size = '[[sheet_size]]\nitem = "ply"\nlength = "60 in"\nwidth = "60 in"\n'
    _, problems = brief_of(jobs, part + size)
    assert [problem.field for problem in problems] == ["sheet_size.1.price"]
    assert "priced by the piece" in problems[0].found
    assert read(jobs, part + size + "price = 55\n").plans[0].bought == 55


def test_saws_that_take_nothing_are_planned_too(jobs: Path) -> None:
    """Zero kerf: two blanks of 40 in fill a board of 82 in whose ends lose an inch each."""
    brief = read(
        jobs, SEAT.replace("quantity = 3", "quantity = 2") + board("82 in", "6 in"), "timber.kerf=0 in"
    )
    assert sum(stock.number for stock in brief.plans[0].stocks) == 1
    assert faults(brief.plans[0]) == []


def test_a_row_that_no_part_is_cut_from_is_told(jobs: Path) -> None:
    """A slip of the pen in a thickness would leave its parts to a waste, unseen."""
    brief = read(jobs, SEAT + board("8 ft", "6 in") + board("8 ft", "6 in").replace("4/4", "5/4"))
    assert [row.path for row in unused_rows(brief)] == ["board.2"]


def test_the_rack_alone_is_enough_or_is_told(jobs: Path) -> None:
    """Boards of one's own need no board to buy beside them; where they are too few, the price rests on a waste and says so."""
    rack = board("8 ft", "6 in", supplied='"rack"', count=2)
    [plan] = read(jobs, SEAT + rack).plans
    assert (plan.bought, {stock.supplied for stock in plan.stocks}) == (0, {"rack"})
    short = read(jobs, SEAT + rack.replace("count = 2", "count = 1"))
    assert short.plans == ()
    assert [(one.name, len(one.rows)) for one in unplanned(short)] == [("red oak 4/4", 1)]
    warned = priced(short, date(2027, 3, 1), wording(short.folder, []), {}).warnings
    assert [one.field for one in warned if one.code == "rack_short"] == ["board.1"]


def test_sheets_and_bars_are_planned_from_the_sizes_that_parts_name(jobs: Path) -> None:
    """Where a job lists any stock, its sheets are planned without a row of their own."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,80,,,,,\n")
    part = '[[sheet]]\npart = "back"\nitem = "ply"\nlength = "20 in"\nwidth = "20 in"\nsheet_length = "96 in"\nsheet_width = "48 in"\n'
    brief = read(jobs, SEAT + part + board("8 ft", "6 in"))
    assert [plan.item for plan in brief.plans] == ["red oak 4/4", "ply"]
    assert read(jobs, SEAT + part).plans == ()


def test_a_board_that_is_no_good_all_over_gives_nothing(jobs: Path) -> None:
    """Neither the search nor the choice among patterns cuts from it."""
    bad = board("8 ft", "6 in", supplied='"rack"', count=2, defects="[{}]")
    legs = "".join(SEAT.replace("seat", f"seat {i}").replace("38 in", f"{20 + i} in") for i in range(3))
    [plan] = read(jobs, legs + bad + board("8 ft", "6 in")).plans
    assert faults(plan) == []
    assert {stock.supplied for stock in plan.stocks} == {"bought"}


TRIANGLE = """
[[sheet]]
part = "gusset"
item = "ply"
length = "300 mm"
width = "300 mm"
sheet_length = "300 mm"
sheet_width = "300 mm"
quantity = 4
outline = [["0 mm", "0 mm"], ["300 mm", "0 mm"], ["0 mm", "300 mm"]]
"""


@pytest.mark.parametrize(
    ("large", "bought", "pairs"), [("count = 1\nprice = 15", 35, 1), ("price = 15", 30, 2), ("price = 25", 40, 0)]
)  # fmt: skip
def test_some_shapes_in_pairs_and_some_alone(jobs: Path, large: str, bought: float, pairs: int) -> None:
    """Four triangles, from squares at 10 or from a larger one that holds two; all ways are weighed, so the bound is met."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,10,,,,,\n")
    size = f'[[sheet_size]]\nitem = "ply"\nlength = "310 mm"\nwidth = "310 mm"\n{large}\n'
    [plan] = read(jobs, TRIANGLE + size).plans
    assert plan.bought == plan.bound == bought
    assert sum(piece.two * stock.number for stock in plan.stocks for piece in stock.pieces) == pairs
    assert faults(plan) == []


def test_many_shapes_have_a_bound_that_holds_for_every_pairing(jobs: Path) -> None:
    """Where there are more ways than are planned, the bound is that of shapes of half a pair."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,10,,,,,\n")
    size = '[[sheet_size]]\nitem = "ply"\nlength = "310 mm"\nwidth = "310 mm"\ncount = 7\nprice = 15\n'
    [plan] = read(jobs, TRIANGLE.replace("quantity = 4", "quantity = 40") + size).plans
    best = 7 * 15 + 26 * 10
    assert plan.bound <= best
    assert plan.bought < 400
    assert sum((1 + piece.two) * stock.number for stock in plan.stocks for piece in stock.pieces) == 40


def test_what_a_shape_leaves_is_said_of_its_blanks(jobs: Path) -> None:
    """Three triangles, two of them in one blank: price and plan say the same share (plane geometry)."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("ply,sheet,10,,,,,\n")
    size = '[[sheet_size]]\nitem = "ply"\nlength = "310 mm"\nwidth = "310 mm"\nprice = 15\n'
    brief = read(jobs, TRIANGLE.replace("quantity = 4", "quantity = 3") + size, "warnings.scrap_share=10 %")
    [shape] = shapes(brief)
    pair = interlocked_m(((0.0, 0.0), (0.3, 0.0), (0.0, 0.3)), 0.003175)
    assert shape.left == pytest.approx(1 - 3 * 0.045 / (0.3 * pair + 0.3 * 0.3))
    [said] = [
        one.words for one in priced(brief, date(2027, 3, 1), wording(brief.folder, []), {}).warnings
        if one.code == "scrap"
    ]  # fmt: skip
    assert f"{100 * shape.left:.1f} %" in said


def test_stock_charged_in_part_is_ordered_whole(jobs: Path) -> None:
    """The buying list has the board; the price has what of it is used."""
    brief = read(
        jobs, SEAT.replace("quantity = 3", "quantity = 1") + board("8 ft", "6 in"), "cut.charge=used"
    )
    run = cost(brief, likely)
    [line] = [line for line in run.lines if line.group == "hardwood"]
    [bought] = [one for one in buying(run, brief, date(2027, 3, 1), 2) if one.item == "red oak 4/4"]
    assert float(line.quantity) < 3
    assert bought.needed == pytest.approx(4.0)


def test_a_board_at_its_own_price_comes_from_the_yard(jobs: Path) -> None:
    """Supplier and lead time of the item in the price file stay in force."""
    brief = read(jobs, SEAT + board("8 ft", "6 in", price=20))
    [bought] = [
        one for one in buying(cost(brief, likely), brief, date(2027, 3, 1), 2) if one.item == "red oak 4/4"
    ]
    [row] = brief.book["red oak 4/4"]
    assert (bought.supplier, bought.lead_days, row.supplier != "") == (row.supplier, row.lead_days, True)


def test_bars_of_one_item_have_one_section(jobs: Path) -> None:
    """What is sold by mass cannot be planned from two sections under one name."""
    with (jobs.parent / "prices.csv").open("a") as book:
        book.write("flat bar,kg,4,,,,,\n")
    bars = "".join(
        f'[[metal]]\npart = "{part}"\nitem = "flat bar"\nmetal = "mild steel"\nlength = "20 in"\nmass_per_length = "{mass} kg/m"\n'
        for part, mass in (("rail", 1), ("stay", 2))
    )
    _, problems = brief_of(jobs, bars + '[[bar_length]]\nitem = "flat bar"\nlength = "10 ft"\n')
    assert ["more than one section" in one.found for one in problems] == [True]


def test_more_time_costs_no_more(jobs: Path) -> None:
    """Searches with a clock begin with the usual one, and go on from there."""
    parts = "".join(
        SEAT.replace("seat", f"part {i}").replace("38 in", f"{17 + 3 * i} in").replace("quantity = 3", "quantity = 2")
        for i in range(4)
    )  # fmt: skip
    text = parts + board("7 ft", "7 1/2 in") + board("9 ft", "6 1/2 in")
    [usual] = read(jobs, text).plans
    again = iter([True])
    limit = USUAL._replace(again=lambda: next(again, False))
    brief, _ = read_brief(jobs / "job.toml", None, (), limits=lambda _: limit)
    assert brief is not None
    assert brief.plans[0].bought <= usual.bought
    assert not brief.plans[0].ended_early


def test_unsound_shops_are_told_before_anything_is_planned(jobs: Path) -> None:
    """Staves that a joint eats whole would never fill a panel."""
    glued = SEAT.replace("quantity = 3", "glued_up = true")
    _, problems = brief_of(
        jobs, glued + board("8 ft", "6 in"), "timber.stave_least=0.05 in", "timber.stave_most=0.1 in"
    )
    assert "timber.stave_least" in [one.field for one in problems]
