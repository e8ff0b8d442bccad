"""The statement foots: quoted margin and every step make the actual margin, to the last minor unit, whatever was logged."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from hypothesis import given
from hypothesis import strategies as st
from logbook.logs import entries, piece
from review.reviews import build, review, to_plan

from quoting.forecast.build import build_of
from quoting.ledger.entries import Change, Entry, holding
from quoting.ledger.states import Standing
from quoting.logbook.in_hand import in_hand
from quoting.logbook.piece import Ordered
from quoting.money import exact
from quoting.review.bridge import STEPS
from quoting.review.statement import statement

if TYPE_CHECKING:
    from review.conftest import Sample

    from quoting.review.statement import Statement

HOURS = ("design", "assembly", "laying", "bag setup", "close bag", "sanding", "client")
ITEMS = (
    ("flax cloth 300", "m2"),
    ("laminating epoxy", "L"),
    ("white ash 8/4", "bd ft"),
    ("hard wax oil", "L"),
)
amounts = st.decimals("0.25", "20", places=2)


@st.composite
def sayings(draw: Any) -> dict[str, Any]:
    """One thing that may be logged on the lectern."""
    kind = draw(
        st.sampled_from(
            [
                "hours",
                "hours",
                "used",
                "paid",
                "spoiled",
                "lump",
                "setback",
                "trip",
                "stage",
                "unplanned",
                "measured",
            ]
        )
    )
    amount = draw(amounts)
    if kind == "hours":
        return {
            "kind": "hours",
            "value": f"{amount} h",
            "task": draw(st.sampled_from(HOURS)),
            "who": draw(st.sampled_from(["owner", "helper"])),
        }
    if kind in ("used", "spoiled"):
        item, unit = draw(st.sampled_from(ITEMS))
        return {"kind": kind, "value": f"{amount} {unit}", "of": item}
    if kind == "paid":
        item, unit = draw(st.sampled_from(ITEMS))
        return {"kind": "paid", "value": str(draw(amounts)), "of": item, "quantity": f"{amount} {unit}"}
    if kind == "lump":
        return {"kind": "paid", "value": str(amount), "of": draw(st.sampled_from(ITEMS))[0]}
    if kind == "setback":
        return {
            "kind": "setback",
            "value": "a bag leaks overnight",
            "hours": f"{amount} h",
            "cost": str(draw(amounts)),
        }
    if kind == "trip":
        return {"kind": "trip", "value": f"{amount} mi", "hours": "2 h"}
    if kind == "stage":
        return {
            "kind": "hours",
            "value": f"{amount} h",
            "stage": draw(st.sampled_from(["bench", "office", "finishing"])),
            "about": True,
        }
    if kind == "measured":
        rounds = draw(st.integers(1, 6))
        return {
            "kind": "measured",
            "value": f"{rounds * 5} mm",
            "round": str(rounds),
            "plies": str(rounds * 10),
        }
    return {"kind": "paid", "value": str(amount), "of": "brass screws", "unplanned": True}


def check_foots(found: Statement, of: Sample) -> None:
    way = found.way
    assert list(way.steps) == list(STEPS)
    assert way.quoted + sum(way.steps.values()) == way.actual
    assert way.actual == way.contract.net - way.contract.fees - found.cost
    moved = way.actual - way.quoted - way.steps["reserve"]
    assert sum(one.effect for one in found.causes) == moved
    for one in found.lines:
        assert sum(one.parts.values(), Decimal(0)) == one.actual - one.planned, one.line.id
    assert sum(one.planned for one in found.lines) == of.plan.planned_cost


@given(st.lists(sayings(), max_size=14), st.booleans())
def test_the_bridge_has_no_residue(lectern: Sample, said: list[dict[str, Any]], delivered: bool) -> None:
    check_foots(review(lectern, *said, built=True, delivered=delivered), lectern)


@given(st.lists(sayings(), min_size=1, max_size=8))
def test_price_and_usage_make_the_whole_difference_of_a_line(
    lectern: Sample, said: list[dict[str, Any]]
) -> None:
    """AQ x AP - SQ x SP, for every line of material that was counted."""
    for one in review(lectern, *said).lines:
        if one.line.material and one.line.quantity and "lump" not in one.parts:
            parts = one.parts
            assert parts.get("usage", 0) + parts.get("price", 0) == one.actual - one.standard
            assert parts.get("scope", 0) == one.standard - one.planned


@given(st.lists(sayings(), min_size=2, max_size=8), st.data())
def test_taking_an_entry_back_restores_every_figure(
    lectern: Sample, said: list[dict[str, Any]], data: Any
) -> None:
    """The statement of a log with an entry and its counter-entry is that of the log without it."""
    kept = entries(lectern.plan, *said)
    gone = data.draw(st.integers(0, len(kept) - 1))
    counter = Entry(kind="void", day=kept[gone].day, counters=kept[gone].id, id=len(kept) + 1)
    stands = Standing("agreed", lectern.plan.day, built=True, delivered=True)
    with_both = holding([*kept, counter])
    without = holding(kept[:gone] + kept[gone + 1 :])
    one, other = (
        statement(build_of(piece(lectern.plan, holding, stands), lectern.brief))
        for holding in (with_both, without)
    )
    assert one == other


def test_a_piece_that_went_to_plan_earns_the_quoted_margin_and_its_reserve(lectern: Sample) -> None:
    """Setbacks that never came are all that is left of the plan; the trip is logged as planned by nobody."""
    found = review(lectern, *to_plan(lectern))
    check_foots(found, lectern)
    left = {name: amount for name, amount in found.way.steps.items() if abs(amount) > Decimal("0.05")}
    assert set(left) == {"setbacks", "overhead", "reserve"}
    assert left["setbacks"] == Decimal("19.32")
    assert left["reserve"] == lectern.plan.cost["reserve"]


def test_nothing_logged_of_a_piece_is_not_nothing_spent(lectern: Sample) -> None:
    found = review(lectern)
    check_foots(found, lectern)
    assert found.not_recorded > Decimal("2700")
    assert not [one for one in found.lines if one.recorded]
    assert found.own_hours > 30


def test_extra_rounds_are_scope_and_their_unlogged_film_is_not_forgotten(lectern: Sample) -> None:
    """Five rounds instead of three: everything that a round takes is counted, whether it was logged or not."""
    said = [{"kind": "measured", "value": "17.1 mm", "round": "5", "plies": "35"}]
    found = review(lectern, *said)
    check_foots(found, lectern)
    by_id = {one.line.id: one for one in found.lines}
    film, setup = by_id["laminate.leaf.film"], by_id["laminate.leaf.bag-setup"]
    assert film.standard_quantity / film.line.quantity > 1.6
    assert setup.standard_quantity == 5 * 0.75
    assert film.parts == {"scope": film.standard - film.planned}
    assert not film.recorded
    assert film.actual == film.standard
    assert found.way.steps["scope"] < -250
    assert found.causes[0].kind == "rounds"


def test_the_cost_is_that_of_the_list_of_pieces_where_every_round_went_to_plan(lectern: Sample) -> None:
    of = build(
        lectern,
        {"kind": "hours", "value": "9 h", "task": "design"},
        {"kind": "used", "value": "5 L", "of": "laminating epoxy"},
    )
    assert statement(of).cost == in_hand(of.piece).expected_cost


def ordered(ruled: str, net: str, asked: str) -> Ordered:
    change = Change(1, ruled, Decimal(net), Decimal(0), Decimal("3.04"), Decimal(asked))
    return Ordered(Entry(kind="change", day=lectern_day(), id=50), change)


def lectern_day() -> Any:
    from datetime import date

    return date(2026, 6, 1)


def test_changes_stand_in_the_step_they_belong_to(lectern: Sample) -> None:
    """Asked and paid, asked and given away, my own: each with what it brought less what its plan costs more."""
    dearer = replace(lectern.plan, cost={**lectern.plan.cost, "planned": lectern.plan.cost["planned"] + 80})
    lines = tuple(
        one._replace(amount=one.amount + 80, quantity=one.quantity)
        if one.id == "standard.design.hours"
        else one
        for one in lectern.plan.lines
    )
    dearer = replace(dearer, lines=lines)
    for ruled, net, asked, step, effect in (
        ("agreed", "120", "120", "asked_and_paid", 40),
        ("agreed", "0", "120", "asked_not_paid", -80),
        ("mine", "0", "120", "my_own", -80),
    ):
        stands = Standing("agreed", lectern.plan.day, built=True, delivered=True)
        made = piece(lectern.plan, (), stands, (ordered(ruled, net, asked),), dearer)
        found = statement(build_of(made, lectern.brief))
        assert found.way.quoted + sum(found.way.steps.values()) == found.way.actual
        assert found.way.steps[step] == effect
        assert [name for name in ("asked_and_paid", "asked_not_paid", "my_own") if found.way.steps[name]] == [
            step
        ]
        assert found.way.steps["fees"] == Decimal("-3.04")


def test_a_sale_below_the_price_asked_is_told_first(lectern: Sample) -> None:
    sale = Entry(
        kind="state",
        day=lectern_day(),
        said="sold",
        money=exact(lectern.plan.chain.total * Decimal("0.7"), 2),
        id=1,
    )
    stands = Standing("sold", lectern.plan.day, entry=sale, built=True, delivered=True)
    found = statement(build_of(piece(lectern.plan, (), stands), lectern.brief))
    check_foots(found, lectern)
    assert found.causes[0].kind == "price"
    assert found.way.steps["fees"] > 0  # a smaller sum costs smaller fees


def test_material_that_was_given_is_gain_and_no_cash(lectern: Sample) -> None:
    lines = tuple(
        one._replace(supplied="given") if one.id == "laminate.leaf.ply" else one for one in lectern.plan.lines
    )
    of = lectern._replace(plan=replace(lectern.plan, lines=lines))
    found, bought = review(of), review(lectern)
    ply = next(one for one in lines if one.id == "laminate.leaf.ply")
    assert found.given == ply.amount
    assert found.in_hand - bought.in_hand == ply.amount
    assert found.way.actual == bought.way.actual
    assert found.material_worth - found.material_bought == ply.amount
