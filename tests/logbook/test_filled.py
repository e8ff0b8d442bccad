"""Lines of the plan are filled by what was logged, to the last cent."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from logbook.logs import entries, piece

from quoting.ledger.states import Standing
from quoting.logbook.filled import filled, labour_hours
from quoting.logbook.in_hand import in_hand
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.logbook.filled import Filled
    from quoting.pricing.record import Priced

OWNER = 54.4067796610  # (58,000 + 6,200) / 1,180 h
OVERHEAD = 18400 / 1180


def by_id(plan: Priced, *sayings: dict[str, object]) -> dict[str, Filled]:
    return {one.line.id: one for one in filled(plan, entries(plan, *sayings), Standing(deal="agreed"))}


def test_hours_fill_the_line_of_their_task_and_part(lectern: Priced) -> None:
    found = by_id(lectern, {"kind": "hours", "value": "2 1/2 h", "task": "joint", "part": "foot"})
    line = found["hardwood.foot.joint"]
    assert (line.quantity, line.amount, line.logged) == (2.5, exact(2.5 * OWNER, 2), True)
    assert not found["hardwood.column.joint"].logged


def test_hours_of_a_task_are_shared_over_its_lines_by_plan(lectern: Priced) -> None:
    """Both joints are planned with 1.5 h: half of the hours each, and no cent is lost."""
    found = by_id(lectern, {"kind": "hours", "value": "1 h", "task": "joint"})
    both = [found["hardwood.foot.joint"], found["hardwood.column.joint"]]
    assert [one.quantity for one in both] == [0.5, 0.5]
    assert sum(one.amount for one in both) == exact(OWNER, 2) == Decimal("54.41")


def test_hours_of_a_helper_are_worth_the_helper_with_burden(lectern: Priced) -> None:
    found = by_id(lectern, {"kind": "hours", "value": "2 h", "task": "assembly", "who": "helper"})
    assert found["standard.assembly.hours"].amount == Decimal("49.28")  # 2 x 22 x 1.12


def test_hours_by_stage_stand_on_a_line_whose_plan_is_nothing(lectern: Priced) -> None:
    found = by_id(lectern, {"kind": "hours", "value": "30 h", "stage": "bench", "about": True})
    line = found["stage.bench.hours"]
    assert (line.line.quantity, line.line.amount, line.quantity) == (0, 0, 30)
    assert line.amount == exact(30 * OWNER, 2)


def test_overhead_and_sundries_follow_hours_and_materials(lectern: Priced) -> None:
    found = by_id(
        lectern,
        {"kind": "hours", "value": "4 h", "task": "assembly"},
        {"kind": "setback", "value": "a bag leaks overnight", "hours": "2 h", "cost": "30"},
        {"kind": "used", "value": "2 L laminating epoxy"},
    )
    assert found["overhead.job.hours"].amount == exact(6 * OVERHEAD, 2)
    assert found["sundries.abrasives.hours"].amount == exact(6 * 0.95, 2)
    assert found["sundries.small_stuff.share"].amount == exact(52 * 0.02, 2)  # of 2 L at 26
    assert found["setback.a-bag-leaks-overnight.hours"].amount == exact(2 * OWNER, 2)
    assert found["setback.a-bag-leaks-overnight.cost"].amount == 30


def test_material_used_is_worth_the_plan_s_price_until_something_is_paid(lectern: Priced) -> None:
    used: dict[str, object] = {"kind": "used", "value": "2 L", "of": "laminating epoxy"}
    spoiled: dict[str, object] = {"kind": "spoiled", "value": "500 mL", "of": "laminating epoxy"}
    paid: dict[str, object] = {"kind": "paid", "value": "90", "of": "laminating epoxy", "quantity": "3 L"}
    assert by_id(lectern, used, spoiled)["laminate.leaf.resin"].amount == 65  # 2.5 L x 26
    found = by_id(lectern, used, spoiled, paid)["laminate.leaf.resin"]
    assert found.amount == 90  # all 3 L at 30: they are within the plan of 4.05 L, used or not
    done: dict[str, object] = {"kind": "done", "line": "laminate.leaf.resin"}
    assert (
        by_id(lectern, used, spoiled, paid, done)["laminate.leaf.resin"].amount == 75
    )  # 2.5 L: the rest is left over


def test_what_is_bought_beyond_the_plan_lies_on_the_shelf_until_it_is_used(lectern: Priced) -> None:
    """Cloth for 9.97 m2 by the plan, 20 m2 bought for 200."""
    paid: dict[str, object] = {"kind": "paid", "value": "200", "of": "flax cloth 300", "quantity": "20 m2"}
    used: dict[str, object] = {"kind": "used", "value": "15 m2 flax cloth 300"}
    spoiled: dict[str, object] = {"kind": "spoiled", "value": "2 m2 flax cloth 300"}
    done: dict[str, object] = {"kind": "done", "line": "laminate.leaf.ply"}
    planned = next(line.quantity for line in lectern.lines if line.id == "laminate.leaf.ply")
    assert by_id(lectern, paid)["laminate.leaf.ply"].amount == exact(planned * 10, 2)
    assert by_id(lectern, paid, spoiled)["laminate.leaf.ply"].amount == exact((planned + 2) * 10, 2)
    assert by_id(lectern, paid, used)["laminate.leaf.ply"].amount == 150
    assert by_id(lectern, paid, done)["laminate.leaf.ply"].amount == 200  # nobody says that some is left


def test_an_item_paid_for_one_part_does_not_pay_for_another(console: Priced) -> None:
    """A payment without a count that names its line is that line's cost; its sister is worth what was used."""
    found = by_id(
        console,
        {"kind": "used", "value": "5 bd ft", "line": "hardwood.leg.timber"},
        {"kind": "paid", "value": "35", "line": "hardwood.top.timber"},
    )
    assert found["hardwood.top.timber"].amount == 35
    assert found["hardwood.leg.timber"].amount == 73  # 5 x 14.60


def test_what_was_done_on_a_line_that_a_change_took_out_stays(lectern: Priced) -> None:
    """Timber and hours of a foot that is no longer in the plan keep their worth; its plan is nothing."""
    shorter = replace(lectern, lines=tuple(line for line in lectern.lines if line.part != "foot"))
    logged = entries(
        lectern,
        {"kind": "used", "value": "3 bd ft", "line": "hardwood.foot.timber"},
        {"kind": "hours", "value": "1 h", "line": "hardwood.foot.joint"},
        {"kind": "machine", "value": "1 h", "part": "leaf"},
    )
    standing = Standing(deal="agreed")
    before = {one.line.id: one.amount for one in filled(lectern, logged, standing)}
    found = {one.line.id: one for one in filled(shorter, logged, standing, (lectern,))}
    for id in ("hardwood.foot.timber", "hardwood.foot.joint"):
        assert (found[id].line.quantity, found[id].line.amount) == (0, 0)
        assert found[id].amount == before[id] > 0
    assert sum(one.amount for one in found.values()) == sum(before.values())


def test_money_without_a_quantity_is_the_whole_cost(lectern: Priced) -> None:
    found = by_id(
        lectern,
        {"kind": "paid", "value": "50.01", "of": "white ash 8/4"},
        {"kind": "used", "value": "6 bd ft", "of": "white ash 8/4"},
    )
    both = [found["hardwood.column.timber"].amount, found["hardwood.foot.timber"].amount]
    assert sum(both) == Decimal("50.01")


def test_what_comes_back_is_taken_off(lectern: Priced) -> None:
    """Twelve board feet bought for 72, two taken back for 12: ten at 6."""
    found = by_id(
        lectern,
        {"kind": "paid", "value": "72", "of": "white ash 8/4", "quantity": "12 bd ft"},
        {"kind": "credited", "value": "12", "of": "white ash 8/4", "quantity": "2 bd ft"},
        {"kind": "used", "value": "3.5 bd ft", "of": "white ash 8/4", "part": "foot"},
        {"kind": "used", "value": "3 bd ft", "of": "white ash 8/4", "part": "column"},
        {"kind": "done", "stage": "bench"},
    )
    assert found["hardwood.foot.timber"].amount == 21
    assert found["hardwood.column.timber"].amount == 18


def test_what_nobody_planned_is_a_line_whose_plan_is_nothing(lectern: Priced) -> None:
    found = by_id(
        lectern,
        {"kind": "paid", "value": "18.40", "of": "brass screws", "unplanned": True},
        {"kind": "hours", "value": "1 h", "task": "repair the edge", "unplanned": True},
        {"kind": "setback", "value": "the glue failed", "hours": "2 h"},
        {"kind": "machine", "value": "1 h", "task": "trim", "of": "router", "unplanned": True},
    )
    planned = {line.id for line in lectern.lines}
    extra = {id: one for id, one in found.items() if id not in planned}
    assert set(extra) == {
        "unplanned.brass-screws.item", "unplanned.repair-the-edge.hours", "unplanned.the-glue-failed.hours",
        "unplanned.trim.machine",
    }  # fmt: skip
    assert all((one.line.quantity, one.line.amount) == (0, 0) for one in extra.values())
    assert extra["unplanned.brass-screws.item"].amount == Decimal("18.40")
    assert extra["unplanned.repair-the-edge.hours"].amount == exact(OWNER, 2)
    router = (14500 - 2500) / 9000 + 700 / 380 + 3 * 0.14
    assert extra["unplanned.trim.machine"].amount == exact(router, 2)


def test_a_trip_costs_what_was_driven_and_sat(lectern: Priced) -> None:
    """18 mi x 0.70 + 2 h x (pay + overhead)."""
    found = by_id(lectern, {"kind": "trip", "value": "18 mi", "hours": "2 h"})
    assert found["delivery.trip.carried"].amount == exact(18 * 0.70 + 2 * (OWNER + OVERHEAD), 2)


SAYINGS = st.lists(
    st.sampled_from(
        [
            {"kind": "hours", "value": "1 h 7 min", "task": "joint"},
            {"kind": "hours", "value": "35 min", "task": "sanding", "who": "helper"},
            {"kind": "hours", "value": "3 h", "stage": "bench"},
            {"kind": "hours", "value": "1 h", "part": "leaf"},
            {"kind": "machine", "value": "20 min", "part": "leaf"},
            {"kind": "used", "value": "1.3 L laminating epoxy"},
            {"kind": "spoiled", "value": "0.3 m2 flax cloth 300"},
            {"kind": "used", "value": "3.1 bd ft white ash 8/4"},
            {"kind": "paid", "value": "33.33", "of": "white ash 8/4", "quantity": "4 bd ft"},
            {"kind": "paid", "value": "20.01", "of": "white ash 8/4"},
            {"kind": "credited", "value": "9.99", "of": "laminating epoxy", "quantity": "200 mL"},
            {"kind": "paid", "value": "45", "of": "carriage, Cobb timber yard"},
            {"kind": "paid", "value": "7.77", "of": "wedges", "unplanned": True},
            {"kind": "setback", "value": "a bag leaks overnight", "hours": "1 h", "cost": "11.11"},
            {"kind": "trip", "value": "9 mi", "hours": "30 min"},
            {"kind": "received", "value": "500"},
            {"kind": "done", "stage": "bench"},
            {"kind": "note", "value": "nothing"},
        ]
    ),
    max_size=12,
)


@given(sayings=SAYINGS)
def test_the_lines_sum_to_the_cost_and_no_hour_is_lost(
    lectern: Priced, sayings: list[dict[str, object]]
) -> None:
    logged = entries(lectern, *sayings)
    figures = in_hand(piece(lectern, logged))
    assert sum(one.amount for one in figures.lines) == figures.cost
    told = sum(
        (one.amount or 0) if one.kind == "hours" else (one.hours or 0)
        for one in logged
        if one.kind in ("hours", "setback")
    )
    assert figures.hours == pytest.approx(told, abs=1e-9)
    assert labour_hours(figures.lines) == figures.hours
    pay = {"owner": OWNER, "helper": 22 * 1.12}
    worth = sum(exact((one.amount or 0) * pay[one.who], 2) for one in logged if one.kind == "hours")
    assert worth == sum(one.amount for one in figures.lines if one.line.trade == "labour")
    assert figures.to_spend >= 0


@given(sayings=SAYINGS, more=SAYINGS)
def test_what_was_logged_in_another_order_says_the_same(
    lectern: Priced, sayings: list[dict[str, object]], more: list[dict[str, object]]
) -> None:
    one = in_hand(piece(lectern, entries(lectern, *sayings, *more)))
    other = in_hand(piece(lectern, entries(lectern, *more, *sayings)))
    assert (one.cost, one.received) == (other.cost, other.received)
