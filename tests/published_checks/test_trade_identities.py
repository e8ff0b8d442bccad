"""Properties that hold for any numbers: the equations, the model, draws and packs."""

from __future__ import annotations

import importlib
import inspect
import math
import pkgutil
import shutil
import tempfile
from dataclasses import fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_checks.helpers import BAGGING_PRICES, LETTER_PANEL, written
from sharing import DAY

import quoting.takeoff
import quoting.trades
from quoting.costing.model import cost
from quoting.costing.packs import Pack, pack_table
from quoting.job.load import load
from quoting.pick import draws, likely
from quoting.runs import price as priced
from quoting.trades.laminate import LAMINATE, LAMINATES
from quoting.trades.laminate.record import Bagging
from quoting.trades.laminate.rounds import lay_up
from quoting.trades.setback import SETBACK
from quoting.values import Uncertain

if TYPE_CHECKING:
    from collections.abc import Callable

    from quoting.job.brief import Brief

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
JOBS = sorted(SAMPLES.glob("*/jobs/*.toml"))

CHECKS = settings(deadline=None, database=None, derandomize=True)  # the same cases in every run


# --- equations -------------------------------------------------------------------------------------------------


def equations() -> dict[str, Callable[..., Any]]:
    """Every public function of the take-off whose numbers may be draws, by name."""
    found = {}
    packages = (quoting.takeoff, quoting.trades)
    modules = [
        one for there in packages for one in pkgutil.walk_packages(there.__path__, f"{there.__name__}.")
    ]
    for module in modules:
        for name, one in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            kinds = inspect.signature(one).parameters.values()
            numbers = [kind for kind in kinds if kind.annotation == "Num"]
            records = [kind for kind in kinds if kind.annotation in RECORDS]
            if numbers and not records and not name.startswith("_"):
                found[name] = one
    return found


# These take a part, a need or a whole lay-up beside their numbers: the model as a whole is held below.
RECORDS = ("LayUp", "Laminate", "Need", "Part", "Standard", "Shop", "Casting | Coating")

BAGGING = Bagging(
    margin=0.0762, beyond=0.0508, pleat_height=0.0762, pleats=4, peel_border=0.0254, breather_border=0.0508,
    tape_extra=0.1, film="f", tape="t", peel_ply="p", release_film="r", breather="b", bag_price=180, bag_cycles=40,
)  # fmt: skip
FIXED: dict[str, dict[str, Any]] = {
    "film_around_m": {"bagging": BAGGING},
    "tape_m": {"bagging": BAGGING},
    "mixes": {"most_m3": 0.002},
    "pours": {"pour_depth_m": 0.02},
    "coat_resin_m3": {"coats": 3},
    "trip_cost": {"crew": 2},
    "product_m3": {"coats": 2},
    "tariff_price": {
        "holes": 3, "per_area": 200.0, "per_edge": 7.0, "per_hole": 14.0, "factor": 1.3, "factor_on": "all", "least": 20.0
    },
    "recommended_limit_kg": {"grip": "poor"},
    "tallied_m3": {"thickness_m": 0.0254},
    "crawford_total": {"count": 13},
    "fibre_fraction": {"density_kg_m3": 1500.0},
    "plies_needed": {"block": 17},
    "plies_of_item": {"block": 17, "position": 1, "items": 3},
    "fitting_plies": {"working_h": 5.0, "used": 0.8, "block": 17},
    "clock_h": {"number": 6},
}  # fmt: skip
SHARES = {"learning", "mixing_loss", "run_off", "extra", "frequency"}
EQUATIONS = equations()


def test_all_equations_are_here():
    assert set(FIXED) <= set(EQUATIONS)
    assert {"surfacing_h", "net_m3", "stave_count", "cast_resin_m3", "whole_up", "days_of"} <= set(EQUATIONS)


@pytest.mark.parametrize("name", sorted(EQUATIONS))
@given(data=st.data())
@settings(CHECKS, max_examples=60)
def test_two_draws_give_the_bits_of_two_numbers(name, data):
    """An equation gives an array of draws the same bits as it gives each of them alone."""
    one = EQUATIONS[name]
    given_too = FIXED.get(name, {})
    kinds = [k for k in inspect.signature(one).parameters.values() if k.annotation == "Num"]
    pairs = {}
    for kind in kinds:
        if kind.name in given_too:
            continue
        top = 0.99 if kind.name in SHARES else 50.0
        pairs[kind.name] = [data.draw(st.floats(0.01, top), label=f"{kind.name} {i}") for i in range(2)]
    if name == "stave_count":
        pairs["joint_loss_m"] = [loss * 1e-4 for loss in pairs["joint_loss_m"]]

    def call(numbers: dict[str, Any]) -> Any:
        by_name = all(k.kind is not k.POSITIONAL_OR_KEYWORD for k in kinds)
        return one(**numbers, **given_too) if by_name else one(*numbers.values(), **given_too)

    drawn = np.asarray(call({key: np.array(pair) for key, pair in pairs.items()}), dtype=float)
    alone = [float(call({key: pair[i] for key, pair in pairs.items()})) for i in range(2)]
    assert np.broadcast_to(drawn, (2,)).tolist() == alone


@pytest.mark.parametrize("name", ["crawford_total", "clock_h"])
def test_draws_of_learning_give_the_bits_of_numbers(name):
    """A power of draws, rate by rate: the place where array and number may part by a last bit."""
    rates = np.linspace(0.5, 1.0, 501)
    others = {"crawford_total": {}, "clock_h": {"plies": 34.0, "time_per_ply_h": 0.137, "close_h": 0.4}}[name]
    drawn = EQUATIONS[name](learning=rates, **others, **FIXED[name])
    alone = [float(EQUATIONS[name](learning=float(rate), **others, **FIXED[name])) for rate in rates]
    assert drawn.tolist() == alone


# --- the model -------------------------------------------------------------------------------------------------


@cache
def brief(path: Path) -> Brief:
    return load(path)


def thrice(given: Uncertain) -> Any:
    """The plan as an array of three equal draws."""
    value = likely(given)
    return np.full(3, value)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_the_model_of_three_equal_draws_is_the_plan(path):
    plan, drawn = cost(brief(path), likely), cost(brief(path), thrice)
    assert [line.id for line in drawn.lines] == [line.id for line in plan.lines]
    for one, many in zip(plan.lines, drawn.lines, strict=True):
        for what in ("quantity", "rate", "amount", "worth"):
            got = np.broadcast_to(getattr(many, what), (3,)).tolist()
            assert got == [float(getattr(one, what))] * 3, f"{one.id} {what}"
    assert np.broadcast_to(drawn.planned, (3,)).tolist() == [float(plan.planned)] * 3
    for name, fact in plan.needed.facts.items():
        assert np.broadcast_to(drawn.needed.facts[name], (3,)).tolist() == [float(fact)] * 3, name
    assert np.broadcast_to(drawn.needed.mass_kg, (3,)).tolist() == [float(plan.needed.mass_kg)] * 3


def without_width(record: Any) -> Any:
    """A record with every range closed upon its likely value."""
    if isinstance(record, Uncertain):
        if record.coin:
            return record
        cause = None if record.cause is None else without_width(record.cause)
        return Uncertain(record.likely, record.likely, record.likely, record.name, cause=cause)
    if isinstance(record, dict):
        return {name: without_width(value) for name, value in record.items()}
    if isinstance(record, tuple):
        kept = [without_width(value) for value in record]
        return type(record)(*kept) if hasattr(record, "_fields") else tuple(kept)
    if is_dataclass(record) and not isinstance(record, type):
        return replace(
            record, **{one.name: without_width(getattr(record, one.name)) for one in fields(record)}
        )
    return record


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
@given(seed=st.integers(0, 2**31))
@settings(CHECKS, max_examples=10)
def test_ranges_without_width_draw_the_plan(path, seed):
    """A setback is a coin and no range: the job is taken without. The spread of trial strips is a range too."""
    whole = brief(path)
    job = SETBACK.put(without_width(whole.job), ())
    shop = without_width(whole.shop)
    fitted = replace(LAMINATES.of(shop), trial_spread=0.0)
    shop = replace(shop, sections={**shop.sections, LAMINATES.name: fitted})
    closed = replace(whole, job=job, shop=shop)
    plan = float(cost(closed, likely).planned)
    drawn = np.broadcast_to(cost(closed, draws(seed, 5)).planned, (5,))
    assert drawn == pytest.approx(np.full(5, plan), rel=1e-9)


def test_a_range_without_width_needs_no_reserve(price):
    shop = '[pay.owner]\nrate = 33\n[pricing]\nreserve = "P80"\n'
    data = price('[[work]]\ntask = "make"\nhours = "3 .. 3 .. 3 h"\n', shop)
    assert (data["cost"]["planned"], data["cost"]["reserve"]) == ("99.00", "0.00")


NEW_PART = """
[[work]]
task = "one thing more"
hours = "1 .. 2 .. 4 h"

[[buy]]
item = "one thing more"
quantity = "1 .. 2 .. 5"
price = 3
"""


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_new_part_moves_no_other_draw(path, tmp_path):
    """Lines of every other part keep their draws bit by bit."""
    for beside in path.parent.glob("*.csv"):  # tallies of boards
        shutil.copy(beside, tmp_path)
    more = tmp_path / path.name
    more.write_text(path.read_text(encoding="utf-8") + NEW_PART, encoding="utf-8")
    before = cost(brief(path), draws(3, 200))
    after = cost(load(more, path.parent.parent), draws(3, 200))
    then = {line.id: line for line in after.lines}
    whole_job = {
        line.id for line in before.lines if line.part == "the job"
    }  # overhead and sundries follow labour
    kept = [line for line in before.lines if line.id not in whole_job]
    assert len(kept) >= 5
    for one in kept:
        assert np.array_equal(one.quantity, then[one.id].quantity), one.id
        assert np.array_equal(one.amount, then[one.id].amount), one.id
    assert {"work.one-thing-more.hours", "buy.one-thing-more.item"} == set(then) - {
        one.id for one in before.lines
    }


@given(factor=st.floats(1.0, 1.1), ply=st.floats(0.12, 0.4))
@settings(CHECKS, max_examples=40)
def test_a_larger_sheet_keeps_the_fibre_fraction(factor, ply):
    """Fibre in the panel does not know how large the sheet was that it was cut from."""
    found = []
    for grown in (1.0, factor):
        job = LETTER_PANEL.format(thickness="9 mm", ply=f"{ply!r} mm", more="")
        job = job.replace('"11 in"', f'"{11 * grown!r} in"').replace('"8 1/2 in"', f'"{8.5 * grown!r} in"')
        with tempfile.TemporaryDirectory() as folder:
            read = load(written(Path(folder), job, "", BAGGING_PRICES))
        lay = lay_up(LAMINATE.of(read.job)[0], read.shop, read.tables, likely)
        found.append(float(lay.fibre_kg_m2 / (lay.fibre.density_kg_m3 * lay.ply_m)))
    assert found[0] == pytest.approx(found[1], rel=1e-12)


# --- more never costs less -------------------------------------------------------------------------------------

LOOSE_BOOK = {
    item: (unit, each)
    for item, unit, each in (
        ("white ash 8/4", "bd ft", 6.4), ("oil", "L", 40.0), ("letter sheet", "each", 0.03), ("plain resin", "L", 19.5),
        ("bag film", "m2", 2.1), ("sealant tape", "m", 0.95), ("peel ply", "m2", 4.4), ("breather", "m2", 2.9),
    )
}  # fmt: skip
INPUTS = {
    "waste": 20.0, "hours": 3.0, "area": 2.0, "spoilage": 3.0, "bleed": 0.4, "mixing": 8.0, "per_ply": 6.0,
    "glass": 80.0, "outside": 95.0, "setback": 40.0, "rate": 35.0, "rent": 9000.0, "machine": 31.0, "trip": 0.7,
}  # fmt: skip


def total(inputs: dict[str, float], book: dict[str, float]) -> float:
    """The total of a job of many trades, each thing at one price."""
    job = f"""
[delivery]
road_distance = "40 mi"
[[hardwood]]
part = "foot"
species = "white ash"
length = "20 in"
width = "4 in"
thickness = "2 in"
rough = "8/4"
waste = "{inputs["waste"]!r} %"
[[finish]]
part = "oil"
area = "{inputs["area"]!r} m2"
product = "oil"
[[glass]]
part = "pane"
length = "1 m"
width = "0.5 m"
thickness = "6 mm"
price = {inputs["glass"]!r}
[[outwork]]
what = "outside"
price = {inputs["outside"]!r}
[[work]]
task = "make"
each = "{inputs["hours"]!r} h"
quantity = 3
learning = "90 %"
[[machine]]
task = "run"
machine = "mill"
hours = "{inputs["hours"]!r} h"
attended = "50 %"
[[setback]]
what = "slip"
chance = 0.2
hours = "{inputs["hours"]!r} h"
cost = {inputs["setback"]!r}
""" + LETTER_PANEL.format(
        thickness="6 mm",
        ply="0.1835 mm",
        more=f'spoilage = "{inputs["spoilage"]!r} %"\nbleed = "{inputs["bleed"]!r} L/m2"\n'
        f'mixing_loss = "{inputs["mixing"]!r} %"\ntime_per_ply = "{inputs["per_ply"]!r} min"\n',
    )
    shop = f"""
[pay.owner]
rate = {inputs["rate"]!r}
[overhead]
rent = {inputs["rent"]!r}
[machine.mill]
rate = {inputs["machine"]!r}
[delivery]
per_distance = "{inputs["trip"]!r} /mi"
[pricing]
margin = "25 %"
reserve = "10 %"
"""
    prices = "\n".join(f"{item},{unit},{book[item]!r}" for item, (unit, _) in LOOSE_BOOK.items())
    with tempfile.TemporaryDirectory() as folder:
        return float(priced(written(Path(folder), job, shop, prices), None, DAY).chain.total)


@given(
    st.sampled_from([*INPUTS, *LOOSE_BOOK]),
    st.floats(1.0, 3.0),
    st.lists(st.floats(0.3, 3.0), min_size=len(INPUTS), max_size=len(INPUTS)),
)
@settings(CHECKS, max_examples=80)
def test_more_never_costs_less(what, factor, start):
    """Raising any price, hours or waste never lowers the total, where each thing has one price."""
    inputs = {name: value * times for (name, value), times in zip(INPUTS.items(), start, strict=True)}
    book = {item: each for item, (_, each) in LOOSE_BOOK.items()}
    before = total(inputs, book)
    (inputs if what in inputs else book)[what] *= factor
    assert total(inputs, book) >= before


TINS = "oil,L,44,0.75\noil,L,35,2.5\n"


def oil(litres: float) -> str:
    return f'[[finish]]\npart = "oil"\nproduct = "oil"\narea = "{litres!r} m2"\ncoats = 1\ncoverage = "1 m2/L"\nstandard.oiling = "none"\n'


# Where a thing is sold in two packs, a line is charged what a unit costs in the cheapest cover, and what is left
# over stays on the shelf: a larger tin has the lower unit price, so the line may fall where the tin changes. What
# must be laid out may not. 1.5 L of oil in tins of 0.75 L at 44 and 2.5 L at 35 a litre.
def test_more_material_never_takes_less_cash_with_two_packs(price):
    enough, more = (float(price(oil(litres), "", TINS)["cost"]["cash"]) for litres in (1.5, 1.6))
    assert more >= enough


def test_a_higher_price_never_takes_less_cash_with_two_packs(price):
    dearer = TINS.replace("44", "60")
    before, after = (float(price(oil(1.5), "", book)["cost"]["cash"]) for book in (TINS, dearer))
    assert after >= before


# Charged by whole packs, the job pays what the shelf costs: more never costs less, whatever the packs.
@given(st.floats(0.05, 12.0), st.floats(0.0, 4.0))
@settings(CHECKS, max_examples=60)
def test_more_material_never_costs_less_by_whole_packs(litres, extra):
    shop = '[pricing]\ncharge_packs = ["oil"]\n'
    found = []
    for amount in (litres, litres + extra):
        with tempfile.TemporaryDirectory() as folder:
            found.append(priced(written(Path(folder), oil(amount), shop, TINS), None, DAY).chain.total)
    assert found[0] <= found[1]


# --- packs -----------------------------------------------------------------------------------------------------

KINDS = st.lists(
    st.builds(Pack, st.integers(1, 9).map(float), st.integers(1, 40).map(lambda n: n / 4)),
    min_size=1,
    max_size=3,
    unique_by=lambda pack: pack.size,
).map(tuple)


@given(KINDS, st.integers(1, 60))
@settings(CHECKS, max_examples=150)
def test_the_cover_is_the_cheapest_by_brute_force(kinds, quarters):
    """Small cases: every way to buy enough is tried."""
    quantity = quarters / 2
    table = pack_table(kinds)
    best = math.inf
    counts = [range(math.ceil(quantity / pack.size) + 1) for pack in kinds]
    for numbers in np.ndindex(*(len(one) for one in counts)):
        if sum(n * pack.size for n, pack in zip(numbers, kinds, strict=True)) >= quantity:
            best = min(best, sum(n * pack.size * pack.price for n, pack in zip(numbers, kinds, strict=True)))
    assert float(table.cost(quantity)) == pytest.approx(best, rel=1e-12)


@given(KINDS, st.floats(0.01, 2000.0))
@settings(CHECKS, max_examples=200)
def test_the_cover_covers_and_beats_every_single_pack(kinds, quantity):
    table = pack_table(kinds)
    cover = table.bought(quantity)
    assert cover.units >= quantity * (1 - 1e-9)
    paid = sum(n * pack.size * pack.price for n, pack in zip(cover.packs, kinds, strict=True))
    assert cover.cost == pytest.approx(paid, rel=1e-9)
    assert cover.cost == pytest.approx(float(table.cost(quantity)), rel=1e-12)
    for pack in kinds:
        alone = math.ceil(quantity / pack.size) * pack.size * pack.price
        assert cover.cost <= alone * (1 + 1e-9), pack


@given(KINDS, st.lists(st.floats(0.01, 400.0), min_size=2, max_size=2))
@settings(CHECKS, max_examples=100)
def test_a_table_of_packs_looks_up_draws_as_numbers(kinds, quantities):
    table = pack_table(kinds)
    for what in (table.cost, table.rate):
        assert np.asarray(what(np.array(quantities))).tolist() == [
            float(what(np.float64(q))) for q in quantities
        ]


@given(KINDS, st.floats(0.1, 12.0), st.floats(0.01, 100.0))
@settings(CHECKS, max_examples=100)
def test_any_amount_is_never_dearer_than_its_own_price(kinds, loose, quantity):
    table = pack_table((*kinds, Pack(0.0, loose)))
    assert float(table.cost(quantity)) <= quantity * loose * (1 + 1e-12)
    assert float(table.cost(quantity)) <= float(pack_table(kinds).cost(quantity)) * (1 + 1e-12)
