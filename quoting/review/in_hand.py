"""A piece in figures: cost so far, received so far, still to spend, and the margin that can be expected."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.ledger.states import OPEN
from quoting.review.contract import contract_of, kept_of
from quoting.review.filled import filled, follows, labour_hours
from quoting.review.remaining import remaining, unrecorded

if TYPE_CHECKING:
    from quoting.review.contract import Contract
    from quoting.review.filled import Filled
    from quoting.review.piece import Piece


class InHand(NamedTuple):
    """Figures of a piece on a day [money]. `kept` is what stays of the contract after fees and expected cost.

    `margin` is None where nothing comes in. `held` is money of a client who no longer owes or is owed the piece: to be given
    back, or kept by agreement. `not_recorded` is what lines behind it must have cost of which no entry
    speaks, at the plan; `unrecorded` are their ids.
    """

    contract: Contract
    lines: tuple[Filled, ...]
    cost: Decimal
    received: Decimal
    held: Decimal
    to_spend: Decimal
    not_recorded: Decimal
    kept: Decimal
    margin: Decimal | None
    planned_cost: Decimal
    hours: float
    planned_hours: float
    unrecorded: tuple[str, ...]

    @property
    def expected_cost(self) -> Decimal:
        """What the piece will have cost in the end."""
        return self.cost + self.to_spend + self.not_recorded

    @property
    def owed(self) -> Decimal:
        """What the client still owes; nothing where nobody does, below it where too much came in."""
        return self.contract.total - self.received if self.contract.firm else Decimal(0)


def in_hand(piece: Piece) -> InHand:
    """The figures of a piece. The reserve of the price is no cost until something eats it."""
    plan, contract = piece.plan, contract_of(piece)
    lines = filled(plan, piece.holding, piece.standing, piece.former)
    cost = sum((one.amount for one in lines), Decimal(0))
    rest = remaining(plan, lines, piece.holding, piece.standing)
    to_spend = sum(rest.values(), Decimal(0))
    missing = unrecorded(plan, lines, piece.holding, piece.standing)
    not_recorded = sum(missing.values(), Decimal(0))
    kept = contract.net - contract.fees - cost - to_spend - not_recorded
    return InHand(
        contract=contract,
        lines=lines,
        cost=cost,
        received=received(piece),
        held=Decimal(0) if contract.firm or piece.standing.deal == OPEN else received(piece) - kept_of(piece),
        to_spend=to_spend,
        not_recorded=not_recorded,
        kept=kept,
        margin=kept / contract.net if contract.net else None,
        planned_cost=plan.cost["planned"] + plan.chain.delivery_extra,
        hours=labour_hours(lines),
        planned_hours=plan.quantities["labour_hours"],
        unrecorded=tuple(one.line.id for one in lines if one.line.id in missing and not follows(one.line)),
    )


def received(piece: Piece) -> Decimal:
    """Payments received less those given back."""
    signs = {"received": 1, "refunded": -1}
    return sum(
        (signs[entry.kind] * (entry.money or Decimal(0)) for entry in piece.holding if entry.kind in signs),
        Decimal(0),
    )
