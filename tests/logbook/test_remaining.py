"""What is still to be spent, and what is behind a piece but was not recorded."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from logbook.logs import entries, piece

from quoting.ledger.states import Standing
from quoting.logbook.in_hand import in_hand

if TYPE_CHECKING:
    from quoting.logbook.in_hand import InHand
    from quoting.pricing.record import Priced


def figures(plan: Priced, *sayings: dict[str, object], **standing: object) -> InHand:
    state = Standing(deal=str(standing.pop("deal", "agreed")), **standing)  # type: ignore[arg-type]
    return in_hand(piece(plan, entries(plan, *sayings), state))


def test_before_anything_is_logged_the_whole_plan_is_to_be_spent(console: Priced, lectern: Priced) -> None:
    """With the trip beyond the free distance, which the surcharge pays; to a few cents of rounding lines apart."""
    for plan in (console, lectern):
        found = figures(plan)
        assert abs(found.to_spend - found.planned_cost) <= Decimal("0.05")
        assert found.cost == found.not_recorded == 0


def test_a_piece_built_to_plan_costs_what_was_planned(lectern: Priced) -> None:
    """Every line logged as planned: cost so far and what is left make the plan again."""
    sayings: list[dict[str, object]] = []
    for line in lectern.lines:
        if line.trade in ("labour", "machine"):
            kind = "hours" if line.trade == "labour" else "machine"
            sayings.append({"kind": kind, "value": f"{line.quantity} h", "line": line.id})
        elif line.trade in ("hardwood", "laminate", "bagging", "finish"):
            sayings.append({"kind": "used", "value": f"{line.quantity} {line.measure}", "line": line.id})
        elif line.trade == "carriage":
            sayings.append({"kind": "paid", "value": "45" if "Cobb" in line.id else "28", "line": line.id})
    found = figures(lectern, *sayings, built=True)
    setbacks = Decimal("19.32") + Decimal("0.3") * (
        Decimal(18400) / 1180 + Decimal("0.95")
    )  # that never came
    assert abs(found.expected_cost - (found.planned_cost - setbacks)) <= Decimal("0.05")
    assert found.not_recorded == 0


def test_hours_over_plan_leave_nothing_to_spend_on_their_line(lectern: Priced) -> None:
    before, after = figures(lectern), figures(lectern, {"kind": "hours", "value": "9 h", "task": "design"})
    design = next(line for line in lectern.lines if line.id == "standard.design.hours")
    less = before.to_spend - after.to_spend
    follow = Decimal("6") * (Decimal(18400) / 1180 + Decimal("0.95"))
    assert abs(less - design.amount - follow) <= Decimal("0.02")


def test_hours_by_stage_come_off_that_stage(lectern: Priced) -> None:
    """Office is planned with 13.5 h: after 13.5 h by stage none of it is left."""
    planned = [line for line in lectern.lines if line.stage == "office"]
    found = figures(lectern, {"kind": "hours", "value": "13.5 h", "stage": "office"})
    hours = sum(Decimal(str(line.quantity)) for line in planned)
    assert hours == Decimal("13.5")
    gone = sum(line.amount for line in planned) + hours * (Decimal(18400) / 1180 + Decimal("0.95"))
    assert abs(figures(lectern).to_spend - found.to_spend - gone) <= Decimal("0.05")


def test_what_is_done_is_not_to_be_spent(lectern: Priced) -> None:
    none = figures(lectern)
    for saying in (
        {"task": "design"},
        {"line": "laminate.leaf.resin"},
        {"stage": "finishing"},
        {"part": "leaf"},
    ):
        assert figures(lectern, {"kind": "done", **saying}).to_spend < none.to_spend


def test_a_built_piece_has_its_delivery_left_and_the_rest_is_not_recorded(lectern: Priced) -> None:
    found = figures(lectern, built=True)
    assert found.to_spend == Decimal("124.60")
    assert "delivery.trip.carried" not in found.unrecorded
    assert "laminate.leaf.resin" in found.unrecorded
    assert not any(id.startswith("setback.") for id in found.unrecorded)


def test_a_delivered_piece_has_nothing_left(lectern: Priced) -> None:
    found = figures(lectern, built=True, delivered=True)
    assert found.to_spend == 0
    assert "delivery.trip.carried" in found.unrecorded


def test_stages_of_which_hours_were_logged_are_recorded(lectern: Priced) -> None:
    """Totals by stage are enough: their tasks are not missed one by one."""
    stages = ("bench", "finishing", "office")
    sayings = [{"kind": "hours", "value": "10 h", "stage": stage, "about": True} for stage in stages]
    found = figures(lectern, *sayings, built=True)
    assert not any(line.trade == "labour" and line.id in found.unrecorded for line in lectern.lines)


def test_buying_and_using_by_and_by_does_not_move_the_cost_in_the_end(lectern: Priced) -> None:
    """Bought and used as planned, at the plan's price: what is expected stays, step by step."""
    wanted = figures(lectern).expected_cost
    steps: list[dict[str, object]] = [
        {"kind": "paid", "value": "134.56", "of": "flax cloth 300", "quantity": "9.967407 m2"}
    ]
    for used in ("1 m2", "3 m2", "2 m2"):
        steps.append({"kind": "used", "value": used, "of": "flax cloth 300"})
        assert abs(figures(lectern, *steps).expected_cost - wanted) <= Decimal("0.03")


def test_what_is_spoiled_has_to_be_had_again(lectern: Priced) -> None:
    """Two board feet at 6.40 and 2 % of small stuff come on top of the plan."""
    found = figures(lectern, {"kind": "spoiled", "value": "2 bd ft", "of": "white ash 8/4"})
    more = Decimal("12.80") * Decimal("1.02")
    assert abs(found.expected_cost - figures(lectern).expected_cost - more) <= Decimal("0.03")


def test_work_on_an_order_that_was_cancelled_has_been_paid_for(lectern: Priced) -> None:
    """What nobody recorded of a built piece stands at the plan, whatever became of the deal."""
    logged: dict[str, object] = {"kind": "hours", "value": "2 h", "task": "assembly"}
    built = figures(lectern, logged, built=True)
    for deal in ("cancelled", "written off", "for sale"):
        assert figures(lectern, logged, built=True, deal=deal).not_recorded == built.not_recorded > 0


def test_material_of_a_stage_that_is_done_is_not_forgotten(lectern: Priced) -> None:
    """Twenty hours at the bench cover its tasks; the timber that nobody logged was used all the same."""
    hours: dict[str, object] = {"kind": "hours", "value": "25 h", "stage": "bench", "about": True}
    found = figures(lectern, hours, {"kind": "done", "stage": "bench"})
    assert "hardwood.foot.timber" in found.unrecorded
    assert "standard.assembly.hours" not in found.unrecorded
    assert found.to_spend < figures(lectern, hours).to_spend


def test_nothing_is_to_be_spent_on_what_was_declined(lectern: Priced) -> None:
    for deal in ("refused", "withdrawn", "cancelled", "written off", "lapsed"):
        found = figures(lectern, deal=deal)
        assert (found.to_spend, found.not_recorded, found.contract.total) == (0, 0, 0)


def test_material_paid_for_without_a_count_is_bought(lectern: Priced) -> None:
    found = figures(lectern, {"kind": "paid", "value": "130", "of": "flax cloth 300"})
    ply = next(line for line in lectern.lines if line.item == "flax cloth 300")
    share = ply.amount * Decimal("1.02")  # small stuff is 2 % of materials
    assert abs(figures(lectern).to_spend - found.to_spend - share) <= Decimal("0.01")
