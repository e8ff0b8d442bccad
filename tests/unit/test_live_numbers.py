"""Numbers that remember: the same values as plain ones, formulas that say how, and what they cannot follow."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.costing.model import cost
from quoting.formulas.formula import LONG, Formulas, Product, spelled_product
from quoting.formulas.inputs import Leaves
from quoting.formulas.number import Number, Trace, value_of
from quoting.formulas.plan import live_plan, moving_the_reserve
from quoting.job.load import load
from quoting.measures import shown
from quoting.pick import likely
from quoting.risk.drawn import drawn, drawn_reserve

if TYPE_CHECKING:
    from quoting.formulas.inputs import Input

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_jobs").glob("*/jobs/*.toml"))
SOME = st.floats(0.01, 1000)


def model(a: Any, b: Any, c: Any) -> Any:
    """A small model with everything that take-off does to a number."""
    whole = np.ceil(a / b * (1 - 1e-9))
    grown = np.float64(0) + whole * c + np.maximum(a, b) - np.minimum(b, c)
    return np.where(a < b, grown, np.power(np.float64(2), np.log2(c))) + np.clip(a, b, b + c) - abs(-c)


@given(SOME, SOME, SOME)
def test_the_same_values_as_plain_numbers(a: float, b: float, c: float) -> None:
    """A run over numbers that remember gives the bits that a run over plain numbers gives."""
    trace = Trace()
    leaves = [trace.leaf(name, value, live=True) for name, value in zip("abc", (a, b, c), strict=True)]
    assert value_of(model(*leaves)) == model(a, b, c)
    assert not trace.stopped


def calculated(formula: str, cells: dict[str, float]) -> float:
    """A formula reckoned by Python, independent of how it was written."""
    names = {
        "INT": math.floor, "MAX": max, "MIN": min, "ABS": abs, "POWER": pow, "LOG": math.log,
        "IF": lambda test, then, other: then if test else other,
    }  # fmt: skip
    for at, value in cells.items():
        formula = formula.replace(at, f"({value!r})")
    return float(eval(formula, {"__builtins__": {}}, names))


@given(SOME, SOME, SOME, st.tuples(SOME, SOME, SOME))
def test_formulas_follow_other_values(
    a: float, b: float, c: float, other: tuple[float, float, float]
) -> None:
    """The formula written from one run gives what the model gives for other values of its cells."""
    trace, formulas = Trace(), Formulas()
    leaves = [trace.leaf(name, value, live=True) for name, value in zip("abc", (a, b, c), strict=True)]
    for name, leaf in zip("abc", leaves, strict=True):
        formulas.stand(
            leaf, f"S!${name.upper()}$1", 0.5
        )  # shown in a unit half the size of the canonical one
    text = formulas.of(model(*leaves), 4.0)
    cells = {f"S!${name.upper()}$1": value / 0.5 for name, value in zip("abc", other, strict=True)}
    assert calculated(text, cells) == pytest.approx(model(*other) / 4, rel=1e-9, abs=1e-9)


def test_what_cannot_be_followed_is_told() -> None:
    """A branch taken or a whole number asked for stops its live inputs; fixed ones may be asked anything."""
    trace = Trace()
    live, fixed = trace.leaf("waste", 0.2, live=True), trace.leaf("quantity", 4.0, live=False)
    assert [*range(fixed)] == [0, 1, 2, 3]
    assert fixed > 3 and round(fixed) == 4 and float(fixed * 2) == 8.0
    assert not trace.stopped
    assert live  # that it is there does not depend on its value
    assert not trace.stopped
    assert value_of(max(live * 2, 0.1)) == 0.4
    assert trace.stopped == {"waste"}


def test_a_table_of_packs_is_not_followed() -> None:
    """Looking up a table stops what it was looked up by."""
    trace = Trace()
    found = np.searchsorted(np.array([1.0, 2.0, 3.0]), trace.leaf("bleed", 2.5, live=True))
    assert found == 2
    assert trace.stopped == {"bleed"}


def test_formulas_read_well() -> None:
    """A unit's factor that is a whole part is divided by; factors that cancel are left out; columns are summed."""
    trace, formulas = Trace(), Formulas()
    sides = [trace.leaf(name, 0.5, live=False) for name in "lwt"]
    for column, side in zip("CDE", sides, strict=True):
        formulas.stand(side, f"Hardwood!${column}$7", 0.0254)
    volume = sides[0] * sides[1] * sides[2]
    board_foot = 144 * 0.0254**3
    assert formulas.of(volume, board_foot) == "Hardwood!$C$7*Hardwood!$D$7*Hardwood!$E$7/144"
    formulas.stand(volume, "Hardwood!$F$7", board_foot)
    waste = trace.leaf("timber.waste", 0.2, live=True)
    formulas.stand(waste, "Hardwood!$B$4")
    assert formulas.of(volume * 4 * (1 + waste), board_foot) == "Hardwood!$F$7*(1+Hardwood!$B$4)*4"
    rows = [trace.leaf(f"row {n}", 1.0, live=True) for n in range(5)]
    for n, row in enumerate(rows):
        formulas.stand(row, f"Labour!$H${n + 2}")
    assert formulas.of(sum(rows, start=np.float64(0))) == "SUM(Labour!$H$2:$H$6)"
    assert formulas.of(rows[0] - rows[1] / (1 - waste)) == "Labour!$H$2-Labour!$H$3/(1-Hardwood!$B$4)"


def test_what_is_too_long_for_a_cell_is_written_in_parts() -> None:
    """No formula outgrows a cell: long sums and long expressions stand aside in parts."""
    trace, formulas = Trace(), Formulas()
    many = [trace.leaf(f"line {n}", 1 + n / 900, live=True) for n in range(900)]
    for n, one in enumerate(many):
        formulas.stand(one, f"Lines!$H${3 * n}")
    text = formulas.of(sum((one * (one + 2) for one in many), start=np.float64(0)))
    deep: Any = many[0]
    for one in many[1:60]:
        deep = np.maximum(deep * one, deep + one)  # grows without end where each part is written out twice
    deepest = formulas.of(deep * 2)
    assert all(len(part) <= 2 * LONG for part in (text, deepest, *(part for part, _ in formulas.parts)))
    assert "Steps!$N$" in text and "Steps!$N$" in deepest


@given(st.sampled_from([-1.0, 1.0]), st.floats(-1e-13, 1e-13))
def test_the_sign_of_a_factor_is_kept(sign: float, noise: float) -> None:
    """A factor that is one but for noise is left out; its sign is not."""
    assert spelled_product(Product(sign * (1 + noise), ("A1",), ())) == ("-A1" if sign < 0 else "A1")


def test_a_live_input_without_a_cell_is_refused() -> None:
    """Written as a constant it would no longer be live."""
    with pytest.raises(ValueError, match="no cell stands for waste"):
        Formulas().of(Trace().leaf("waste", 0.2, live=True) * 2)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_plan_is_the_same_plan(path: Path) -> None:
    """Lines reckoned over numbers that remember are the lines of the plan, bit for bit."""
    brief = load(path)
    plan = live_plan(brief)
    for line, live in zip(cost(brief, likely).lines, plan.lines, strict=True):
        assert (live.id, value_of(live.quantity), value_of(live.rate)) == (line.id, line.quantity, line.rate)
    assert plan.inputs.keys() == plan.leaves.keys()
    assert plan.guarded.isdisjoint(plan.fixed)


def test_every_input_is_remembered_by_its_path() -> None:
    """Prices, rates, losses, times and the distance are inputs by the name that --set takes."""
    console = next(path for path in SAMPLES if path.stem == "library_console")
    leaves = Leaves(Trace(), frozenset())
    leaves.brief(load(console))
    wanted = {
        "timber.waste": "share", "delivery.road_distance": "distance", "pay.owner.earn_a_year": "money",
        "overhead.sold_hours": "number", "standard.milling.time": "time", "prices.walnut 5/4": "money a bd ft",
        "laminate.bleed": "depth_per_area", "glass.standard.per_hole": "money", "glass.standard.per_area.10 mm": "money_per_area", "overhead.insurance": "money", "supplier.Cobb timber yard.carriage": "money",
    }  # fmt: skip
    assert {path: leaves.found[path].dimension for path in wanted} == wanted


def test_what_moves_a_drawn_reserve() -> None:
    """An amount only added leaves P80 less plan as it is; a factor of something uncertain moves it."""
    trace = Trace()
    hours, pay, bolt = (trace.leaf(name, 2.0, live=True) for name in ("hours", "pay", "bolt"))
    share = trace.leaf("share", 0.1, live=True)
    uncertain = frozenset({"hours"})
    assert moving_the_reserve([hours * pay, bolt * 3], uncertain) == {"hours", "pay"}
    assert moving_the_reserve([(hours * pay + bolt) * share], uncertain) == {"hours", "pay", "share"}
    assert moving_the_reserve([np.maximum(hours, bolt)], uncertain) == {"hours", "bolt"}
    assert moving_the_reserve([bolt * pay], uncertain) == frozenset()


@pytest.mark.parametrize("name", ["library_console", "flax_screen"])
def test_open_inputs_leave_a_drawn_reserve_as_it_is(name: str) -> None:
    """Held against the draws themselves: no open input of a sample moves its reserve; the pay, which is guarded, does."""
    path = next(path for path in SAMPLES if path.stem == name)
    brief = load(path)
    plan = live_plan(brief)
    before = drawn_reserve(brief, drawn(brief, 11, 400))

    def moved(one: Input) -> float:
        size = 1 if one.dimension in ("money", "number") or one.dimension.startswith("money a ") else 0
        setting = f"{one.path}={one.value * 1.5!r}"
        if not size:
            setting = f"{one.path}={shown(one.value * 1.5, one.dimension)}"
        changed = load(path, settings=[setting])
        return drawn_reserve(changed, drawn(changed, 11, 400)) - before

    open_ones = [one for one in plan.inputs.values() if one.path not in plan.fixed | plan.guarded]
    assert "pay.owner.earn_a_year" in plan.guarded
    assert {one.path for one in open_ones if abs(moved(one)) > 0.005} == set()
    assert len(open_ones) >= 2
    assert moved(plan.inputs["pay.owner.earn_a_year"]) > 1


def test_equal_expressions_are_one_number() -> None:
    """A cell stands for every place where the model reckons the same."""
    trace = Trace()
    rate = trace.leaf("pay.owner.rate", 40.0, live=True)
    assert (rate * 1.1) is (rate * 1.1)
    assert isinstance(rate + 1, Number)
    assert rate * 1.0 is rate and rate + np.float64(0) is rate
