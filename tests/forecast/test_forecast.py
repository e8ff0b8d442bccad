"""A piece in its build: before anything it is the risk run; what is logged stands; what is left comes from the model."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from logbook.logs import entries
from review.reviews import build

from quoting.costing.model import cost
from quoting.forecast.build import Stop, facts, quantities, so_far, stopped, whole
from quoting.forecast.decisions import panels
from quoting.forecast.ends import ends, spread_out
from quoting.forecast.forecast import forecast, held_now
from quoting.logbook.pressed import LayingTime, pressed
from quoting.pick import likely
from quoting.risk.drawn import drawn
from quoting.trades.laminate import LAMINATE
from quoting.trades.setback import SETBACK

if TYPE_CHECKING:
    from review.conftest import Sample

    from quoting.costing.model import Cost
    from quoting.forecast.build import Build

SEED, COUNT = 11, 2000
ORDERED: dict[str, Any] = {"built": False}


def at_work(of: Sample, *sayings: dict[str, Any]) -> Build:
    return build(of, *sayings, **ORDERED)


def rounds_of(front: Sample, count: int, each_mm: float = 3.15, minutes: int = 36) -> list[dict[str, Any]]:
    """So many rounds of six plies, every task of a round logged with its number."""
    said: list[dict[str, Any]] = []
    for n in range(1, count + 1):
        common: dict[str, Any] = {"part": "panel", "round": str(n)}
        times = {
            "laying": minutes,
            "bag setup": 45,
            "close bag": 25,
            "debag time": 37,
            "clean up": 30,
            "mixing": 16,
        }
        said += [
            {"kind": "hours", "value": f"{time} min", "task": task, **common} for task, time in times.items()
        ]
        said.append({"kind": "used", "value": "1.6 L", "of": "laminating epoxy", **common})
        said.append({"kind": "measured", "value": f"{n * each_mm} mm", "plies": str(6 * n), **common})
    return said


def plain(run: Cost) -> dict[str, float]:
    return {id: float(quantity) for id, quantity in quantities(run).items()}


def final(of: Build, stop: Stop | None = None) -> np.ndarray:
    return spread_out(ends(of, held_now(of, SEED, COUNT).pick, stop).cost, COUNT)


def test_before_anything_is_logged_it_is_the_risk_of_the_job(front: Sample, console: Sample) -> None:
    """The same draws of the same model: to the last bit of rounding."""
    for of in (front, console):
        run = drawn(of.brief, SEED, COUNT)
        assert np.allclose(final(at_work(of)), run.cost, rtol=1e-9)


def test_rounds_plies_and_times_are_read_from_the_log(front: Sample) -> None:
    log = entries(front.plan, *rounds_of(front, 3))
    found = pressed(LAMINATE.of(front.brief.job)[0], front.plan, log)
    assert found is not None
    assert (found.rounds, found.plies) == (3, 18)
    assert found.last is not None
    assert found.last.thickness_m == pytest.approx(0.00945)
    assert found.laying == (LayingTime(0, 1, 0.6, 6), LayingTime(1, 2, 0.6, 6), LayingTime(2, 3, 0.6, 6))
    assert set(found.covered.values()) == {3}


def test_a_round_that_was_laid_and_not_measured_counts_with_the_plies_of_the_plan(front: Sample) -> None:
    log = entries(
        front.plan,
        *rounds_of(front, 2),
        {"kind": "hours", "value": "30 min", "task": "laying", "part": "panel", "round": "3"},
    )
    found = pressed(LAMINATE.of(front.brief.job)[0], front.plan, log)
    assert found is not None
    assert (found.rounds, found.plies) == (3, 18)


def test_rounds_logged_together_carry_the_number_of_the_last(front: Sample) -> None:
    said = {"kind": "hours", "value": "2 h", "task": "laying", "part": "panel", "round": "4"}
    found = pressed(
        LAMINATE.of(front.brief.job)[0], front.plan, entries(front.plan, *rounds_of(front, 1), said)
    )
    assert found is not None
    assert found.laying == (LayingTime(0, 1, 0.6, 6), LayingTime(1, 4, 2.0, 18))
    assert (found.rounds, found.plies) == (4, 24)


def test_no_round_is_no_laminate_begun(front: Sample) -> None:
    log = entries(front.plan, {"kind": "hours", "value": "30 min", "task": "laying", "part": "panel"})
    assert pressed(LAMINATE.of(front.brief.job)[0], front.plan, log) is None


def test_known_rounds_leave_the_plan_as_it_is_where_they_went_to_plan(front: Sample) -> None:
    of = at_work(front, *rounds_of(front, 3))
    planned, known = plain(cost(front.brief, likely)), plain(whole(of, likely))
    assert known == pytest.approx(planned)
    begun = plain(so_far(of, likely))
    assert begun["laminate.panel.bag-setup"] == pytest.approx(planned["laminate.panel.bag-setup"] / 2)
    more = plain(stopped(of, likely, Stop("panel", 3, 6)))
    assert {id: more[id] for id in of.by_round} == pytest.approx({id: planned[id] for id in of.by_round})


def test_fewer_plies_a_round_take_more_rounds(front: Sample) -> None:
    """Three rounds of four plies instead of six: twelve are laid, and the rest comes in rounds of six."""
    said = [
        {**one, "plies": str(int(one["plies"]) * 2 // 3)} if "plies" in one else one
        for one in rounds_of(front, 3, 2.1)
    ]
    of = at_work(front, *said)
    assert facts(of) == {"laminate.panel.rounds-pressed": 3.0, "laminate.panel.plies-laid": 12}
    run = whole(of, likely)
    assert (float(run.needed.facts["laminate_plies"]), float(run.needed.facts["bag_cycles"])) == (36, 3 + 4)


def test_every_round_makes_the_end_surer(front: Sample) -> None:
    spreads = []
    for count in (0, 1, 3, 5):
        cost_in_end = final(at_work(front, *rounds_of(front, count)))
        spreads.append(float(np.quantile(cost_in_end, 0.9) - np.quantile(cost_in_end, 0.1)))
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[-1] < 0.9 * spreads[0]


def test_thickness_that_was_measured_settles_the_plies(front: Sample) -> None:
    """At 0.525 mm a ply 36 plies are needed, at 0.60 mm 30; before, both were likely."""
    for each_mm, plies in ((3.15, 36), (3.6, 30)):
        of = at_work(front, *rounds_of(front, 3, each_mm))
        [panel] = panels(of, held_now(of, SEED, COUNT).pick, COUNT)
        assert panel.plies_to_go == ((plies - 18, 1.0),)
        assert panel.rounds_to_go == ((plies // 6 - 3, 1.0),)
    of = at_work(front)
    [panel] = panels(of, held_now(of, SEED, COUNT).pick, COUNT)
    assert len(panel.plies_to_go) == 2


def test_slow_rounds_make_the_rest_slow(front: Sample) -> None:
    """Laying that took half as long again: the rounds to come are expected longer by most of that, the logged ones stand."""
    usual, slow = (at_work(front, *rounds_of(front, 3, minutes=m)) for m in (34, 51))
    to_go = [
        float(np.median(ends(of, held_now(of, SEED, COUNT).pick).to_go["laminate.panel.laying"]))
        for of in (usual, slow)
    ]
    assert 1.3 < to_go[1] / to_go[0] < 1.5


def test_what_is_logged_and_done_is_certain(front: Sample) -> None:
    of = at_work(
        front, {"kind": "hours", "value": "11 h", "task": "design"}, {"kind": "done", "task": "design"}
    )
    end = ends(of, held_now(of, SEED, COUNT).pick)
    assert end.to_go["standard.design.hours"] == 0
    assert end.had["standard.design.hours"] == 11


def test_hours_so_far_of_a_task_that_is_not_done_come_off_it(front: Sample) -> None:
    of = at_work(front, {"kind": "hours", "value": "2 h", "task": "design"})
    end = ends(of, held_now(of, SEED, COUNT).pick)
    whole_task = spread_out(end.had["standard.design.hours"] + end.to_go["standard.design.hours"], COUNT)
    before = ends(at_work(front), held_now(at_work(front), SEED, COUNT).pick)
    assert np.all(whole_task >= 2)
    assert np.allclose(whole_task, np.maximum(before.to_go["standard.design.hours"], 2.0))


def test_material_is_worth_what_was_paid_for_it(front: Sample) -> None:
    """Epoxy at 30 instead of about 21 a litre: all of it, used and still to be used."""
    dear = at_work(front, {"kind": "paid", "value": "315", "of": "laminating epoxy", "quantity": "10.5 L"})
    end = ends(dear, held_now(dear, SEED, COUNT).pick)
    assert np.allclose(
        end.amounts["laminate.panel.resin"], 30 * spread_out(end.to_go["laminate.panel.resin"], COUNT)
    )


def test_a_setback_that_came_does_not_come_again_and_one_that_did_not_grows_unlikely(console: Sample) -> None:
    [name, *_] = [one.id for one in SETBACK.of(console.brief.job)]
    line = f"setback.{name}.hours"
    shares = []
    for said in ((), ({"kind": "done", "stage": "bench"},)):
        of = at_work(console, *said)
        to_go = spread_out(ends(of, held_now(of, SEED, COUNT).pick).to_go[line], COUNT)
        shares.append(float(np.mean(to_go > 0)))
    assert shares[0] > shares[1] == 0
    what = next(one.what for one in SETBACK.of(console.brief.job) if one.id == name)
    came = at_work(console, {"kind": "setback", "value": what, "hours": "4 h"})
    end = ends(came, held_now(came, SEED, COUNT).pick)
    assert (end.had[line], end.to_go[line]) == (4.0, 0.0)


def test_stopping_now_costs_no_more_rounds_and_leaves_a_thinner_panel(front: Sample) -> None:
    found = forecast(at_work(front, *rounds_of(front, 3)), date(2026, 9, 21), SEED, COUNT)
    assert [one.more for one in found.choices] == [0, 1, 2, None]
    costs = [one.cost[1].value for one in found.choices]
    thick = [one.thickness_m[1].value for one in found.choices]
    assert costs == sorted(costs)
    assert thick == sorted(thick)
    assert thick[0] == pytest.approx(0.00945 - 0.00083, rel=0.02)
    assert [one.reaches for one in found.choices] == [0, 0, 0, 1]
    margins = [one.margin for one in found.choices]
    assert margins == sorted(margins, reverse=True)  # type: ignore[type-var]


def test_what_lies_on_the_shelf_is_not_bought_again(front: Sample) -> None:
    bought = {"kind": "paid", "value": "300", "of": "laminating epoxy", "quantity": "15 L"}
    names = []
    for said in ((), (bought,)):
        found = forecast(at_work(front, *said), date(2026, 8, 30), SEED, COUNT)
        names.append({one.item for one in found.buying})
    assert "laminating epoxy" in names[0]
    assert "laminating epoxy" not in names[1]
    assert names[0] - names[1] == {"laminating epoxy"}


def test_what_is_to_be_bought_names_its_last_day(front: Sample) -> None:
    """The oil is needed after the bench, what has a lead of a week and is needed now comes a week late."""
    day = date(2026, 9, 21)
    found = {one.item: one for one in forecast(at_work(front, *rounds_of(front, 3)), day, SEED, COUNT).buying}
    assert found["hard wax oil"].order_by > day
    ash = found["white ash 4/4"]
    assert (ash.needed_by, ash.order_by, ash.late_days) == (day, day, 7)


def test_several_pieces_alike_are_not_followed_round_by_round(front: Sample) -> None:
    from dataclasses import replace

    job = replace(front.brief.job, piece=replace(front.brief.job.piece, quantity=2))
    of = at_work(front._replace(brief=replace(front.brief, job=job)), *rounds_of(front, 2))
    assert of.pressed == ()
    assert np.all(np.isfinite(final(of)))


def test_hours_by_stage_come_off_what_the_stage_has_left(front: Sample) -> None:
    of = at_work(front, {"kind": "hours", "value": "40 h", "stage": "office", "about": True})
    end = ends(of, held_now(of, SEED, COUNT).pick)
    left = sum(
        spread_out(end.to_go[one.line.id], COUNT)
        for one in of.lines
        if one.line.stage == "office" and one.line.trade == "labour"
    )
    assert float(np.max(left)) == 0


def test_earned_value_begins_with_the_work(front: Sample) -> None:
    assert forecast(at_work(front), date(2026, 8, 30), SEED, COUNT).earned is None
    found = forecast(at_work(front, *rounds_of(front, 3)), date(2026, 9, 21), SEED, COUNT).earned
    assert found is not None
    assert 0 < found.ev < found.bac
    assert 0.9 < found.cpi < 1.1


def test_done_to_plan_the_work_is_worth_what_it_cost(front: Sample) -> None:
    from review.reviews import to_plan

    log = to_plan(front)
    stages = [{"kind": "done", "stage": name} for name in ("bench", "finishing", "office")]
    found = forecast(at_work(front, *log, *stages), date(2026, 9, 21), SEED, COUNT)
    assert found.earned is not None
    assert found.earned.cpi == pytest.approx(1.0, abs=0.02)


def test_material_that_is_bought_and_whose_use_nobody_logged_was_used_by_the_rounds(front: Sample) -> None:
    """The same whether the resin was bought or lay there: three rounds have had theirs."""
    rounds = [one for one in rounds_of(front, 3) if one["kind"] != "used"]
    bought = {"kind": "paid", "value": "224", "of": "laminating epoxy", "quantity": "10.5 L"}
    spoiled = {"kind": "spoiled", "value": "0.1 L", "of": "laminating epoxy"}
    had = []
    for said in ((), (bought,), (bought, spoiled)):
        of = at_work(front, *rounds, *said)
        had.append(float(np.median(ends(of, held_now(of, SEED, COUNT).pick).had["laminate.panel.resin"])))
    assert 4 < had[0] < 5.5
    assert had[1] == pytest.approx(had[0])
    assert had[2] == pytest.approx(had[0] + 0.1)


def test_hours_by_stage_record_the_tasks_of_rounds_that_were_pressed(front: Sample) -> None:
    """Ten hours at the bench for three rounds: what the rounds must have taken is in them, the rest comes off what is left."""
    rounds = [one for one in rounds_of(front, 3) if one["kind"] != "hours"]
    hours = []
    for said in ((), ({"kind": "hours", "value": "9.75 h", "stage": "bench", "about": True},)):
        of = at_work(front, *rounds, *said)
        end = ends(of, held_now(of, SEED, COUNT).pick)
        bench = [one.line.id for one in of.lines if one.line.trade == "labour" and one.line.stage == "bench"]
        hours.append(float(np.median(sum(spread_out(end.had[id] + end.to_go[id], COUNT) for id in bench))))
    assert hours[1] == pytest.approx(hours[0], abs=1.0)


@pytest.mark.parametrize("mark", [{"task": "laying", "part": "panel"}, {"part": "panel"}, {"stage": "bench"}])
def test_a_laminate_that_is_done_takes_nothing_more(front: Sample, mark: dict[str, str]) -> None:
    of = at_work(front, *rounds_of(front, 3), {"kind": "done", **mark})
    end = ends(of, held_now(of, SEED, COUNT).pick)
    for line in ("laying", "bag-setup", "resin", "ply-1", "ply-2", "film"):
        assert float(np.max(end.to_go[f"laminate.panel.{line}"])) == pytest.approx(0, abs=1e-9), line
    assert panels(of, held_now(of, SEED, COUNT).pick, COUNT) == ()


def test_plies_laid_in_turn_both_grow_by_rounds(front: Sample) -> None:
    for count in (1, 2, 3):
        of = at_work(front, *rounds_of(front, count))
        assert {"laminate.panel.ply-1", "laminate.panel.ply-2"} <= of.by_round


def test_what_is_used_by_a_day_is_for_the_rounds_until_then(front: Sample) -> None:
    """Cloth logged after two rounds, without a number: the third round's cloth is still to come, or not recorded."""
    said = rounds_of(front, 3)
    early = [{**one, "on": f"2026-05-{10 + int(one['round'])}"} for one in said]
    cloth = {"kind": "used", "value": "3.6 m2", "of": "flax cloth 300", "on": "2026-05-12"}
    found = pressed(
        LAMINATE.of(front.brief.job)[0],
        front.plan,
        sorted(entries(front.plan, *early, cloth), key=lambda one: one.day),
    )
    assert found is not None
    assert found.covered["laminate.panel.ply-1"] == 2
    assert found.covered["laminate.panel.laying"] == 3


def test_a_thickness_without_a_round_tells_how_far_the_panel_is(front: Sample) -> None:
    log = entries(front.plan, {"kind": "measured", "value": "6.3 mm", "plies": "12"})
    found = pressed(LAMINATE.of(front.brief.job)[0], front.plan, log)
    assert found is not None
    assert (found.rounds, found.plies) == (2, 12)


def test_a_round_belongs_to_one_laminate(console: Sample) -> None:
    """Resin of a round that fills the lines of several panels begins none of them."""
    names = [part.part for part in LAMINATE.of(console.brief.job)]
    assert names
    log = entries(
        console.plan,
        {"kind": "used", "value": "1 L", "of": LAMINATE.of(console.brief.job)[0].resin, "round": "2"},
    )
    found = [pressed(part, console.plan, log) for part in LAMINATE.of(console.brief.job)]
    assert found.count(None) == len(names) - (1 if len(names) == 1 else 0)


def test_a_setback_is_known_by_its_name_and_by_its_words(console: Sample) -> None:
    from quoting.logbook.targets import setback_line

    lines = console.plan.lines
    one = SETBACK.of(console.brief.job)[0]
    assert setback_line(lines, one.id) == setback_line(lines, one.what) == f"setback.{one.id}"
    assert setback_line(lines, "the cat sat on it") == "unplanned.the-cat-sat-on-it"
