"""What is still to be spent, and what is behind a piece but was not recorded."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from review.logs import entries, piece

from quoting.ledger.states import Standing
from quoting.review.in_hand import in_hand

if TYPE_CHECKING:
    from quoting.pricing.record import Priced
    from quoting.review.in_hand import InHand


def figures(plan: Priced, *sayings: dict[str, object], **standing: object) -> InHand:
    state = Standing(deal=str(standing.pop("deal", "accepted")), **standing)  # type: ignore[arg-type]
    return in_hand(piece(plan, entries(plan, *sayings), state))


def test_before_anything_is_logged_the_whole_plan_is_to_be_spent(console: Priced, lectern: Priced) -> None:
    """With the trip beyond the free radius, which the surcharge pays; to a few cents of rounding lines apart."""
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


def test_nothing_is_to_be_spent_on_what_was_declined(lectern: Priced) -> None:
    for deal in ("declined", "withdrawn", "cancelled", "written off", "expired"):
        found = figures(lectern, deal=deal)
        assert (found.to_spend, found.not_recorded, found.contract.total) == (0, 0, 0)


def test_material_paid_for_without_a_count_is_bought(lectern: Priced) -> None:
    found = figures(lectern, {"kind": "paid", "value": "130", "of": "flax cloth 300"})
    ply = next(line for line in lectern.lines if line.item == "flax cloth 300")
    share = ply.amount * Decimal("1.02")  # small stuff is 2 % of materials
    assert abs(figures(lectern).to_spend - found.to_spend - share) <= Decimal("0.01")
