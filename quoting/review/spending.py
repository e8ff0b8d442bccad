"""What a piece took so far and still takes, by its ledger: cash that goes to others, own hours, and the whole cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.inputs.rules import OWNER
from quoting.pricing.selling import Spending, is_cash, is_own_hours
from quoting.review.filled import filled
from quoting.review.in_hand import in_hand
from quoting.review.known import TRIP
from quoting.review.remaining import remaining, unrecorded
from quoting.review.worth import rate_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from quoting.ledger.entries import Entry
    from quoting.review.filled import Filled
    from quoting.review.piece import Piece

SIGNS = {"paid": 1, "credited": -1, "setback": 1}


def spending_of(piece: Piece, delivery: float) -> Spending:
    """The spending of a piece. `delivery` is what its plan sets aside for packing, bringing and waiting [money]: it is left
    out of the cost; where the ledger speaks of a delivery, what that has cost is left out instead.

    What is left of the reserve is its share that is still to be spent; a built piece needs none.
    """
    plan, figures = piece.plan, in_hand(piece)
    lines = filled(plan, piece.holding, piece.standing, piece.former)
    rest = remaining(plan, lines, piece.holding, piece.standing)
    missing = unrecorded(plan, lines, piece.holding, piece.standing)
    planned = float(plan.cost["planned"])
    left = 0.0 if piece.standing.built else min(float(figures.to_spend) / planned, 1.0) if planned else 0.0
    reserve = float(plan.cost["reserve"]) * left
    own_hours = own_hours_logged(piece) + sum(
        (_amount(rest, one) + _amount(missing, one)) / one.line.rate
        for one in lines
        if is_own_hours(one.line) and one.line.rate
    )
    brought = [one for one in lines if one.line.id == TRIP or one.line.stage == "delivery"]
    if any(one.logged for one in brought):  # what a delivery has cost, not what one was planned to
        delivery = sum(float(one.amount) + _amount(rest, one) + _amount(missing, one) for one in brought)
    return Spending(
        cash_spent=cash_logged(piece),
        cash_to_spend=sum(_amount(rest, one) for one in lines if is_cash(one.line)),
        not_recorded=sum(_amount(missing, one) for one in lines if is_cash(one.line)),
        base=float(figures.expected_cost) + reserve - delivery,
        reserve=reserve,
        own_hours=own_hours,
        own_pay=own_hours * rate_of(plan, f"pay.{OWNER}"),
        actual=True,
        built=piece.standing.built,
    )


def own_hours_logged(piece: Piece) -> float:
    """Hours of the owner in the ledger, setbacks included [h]."""
    return sum(_hours(entry) for entry in piece.holding if _works(entry) and _who(entry) == OWNER)


def cash_logged(piece: Piece) -> float:
    """Money that went to others by the ledger: paid less credited, setbacks, the pay of helpers [money]."""
    return sum(_cash(entry, piece) for entry in piece.holding)


def _amount(money: Mapping[str, Decimal], one: Filled) -> float:
    return float(money.get(one.line.id, 0))


def _works(entry: Entry) -> bool:
    return entry.kind in ("hours", "setback")


def _who(entry: Entry) -> str:
    return entry.who or OWNER


def _hours(entry: Entry) -> float:
    return (entry.amount if entry.kind == "hours" else entry.hours) or 0.0


def _cash(entry: Entry, piece: Piece) -> float:
    """Money that an entry says went to others, and the pay of helpers."""
    paid = SIGNS.get(entry.kind, 0) * float(entry.money or 0)
    if _works(entry) and _who(entry) != OWNER:
        paid += _hours(entry) * rate_of(piece.plan, f"pay.{_who(entry)}")
    return paid
