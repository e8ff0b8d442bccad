"""A piece in figures: what it took, what it still takes and what nobody recorded, received so far, the margin to be expected."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from quoting.job.rules import OWNER
from quoting.ledger.entries import Entry
from quoting.ledger.states import AWAITING, BOUND, OWN_STOCK
from quoting.logbook.filled import Filled, filled, following, follows, labour_hours, stage_hours
from quoting.logbook.piece import Contract, Piece, contract_of, kept_of
from quoting.logbook.plan_lines import TRIP, WAITING_GROUP, Progress, rate_of
from quoting.money import exact
from quoting.pricing.record import Priced, PricedLine
from quoting.pricing.sale import Spending, is_cash, is_own_hours

SIGNS = {"paid": 1, "credited": -1, "setback": 1}
WORK = ("hours", "setback")
"""Kinds of entries whose hours are worked on the piece itself."""


def remaining(piece: Piece, lines: Sequence[Filled]) -> dict[str, Decimal]:
    """Money still to be spent, by line id.

    A line's rest is planned less actual quantity, never below nothing; hours of which only the stage is known
    come off that stage. A built piece has its delivery left, a delivered one nothing.
    """
    return _worth(piece.plan, lines, quantities_left(piece, lines))


def quantities_left(piece: Piece, lines: Sequence[Filled]) -> dict[str, float]:
    """What lines that are not behind the piece have left, by line id [unit of the line]."""
    if piece.standing.deal not in (*BOUND, *OWN_STOCK, AWAITING):
        return {}
    progress = Progress(piece.holding, piece.standing)
    rest = {one.line.id: _rest(one) for one in lines if not progress.behind(one.line)}
    _take_stage_hours(rest, lines)
    return rest


def unrecorded(piece: Piece, lines: Sequence[Filled]) -> dict[str, Decimal]:
    """What lines must have cost that a piece has passed and of which nothing was recorded, by line id, at the plan.

    Not recorded is not nothing, whatever became of the deal. Setbacks that nobody logged did not happen; of a stage with
    hours its tasks are recorded, and so is a line that was itself marked as done.
    """
    progress = Progress(piece.holding, piece.standing)
    stages = stage_hours(lines)
    missing = {
        one.line.id: one.line.quantity
        for one in lines
        if not one.logged
        and progress.passed(one.line)
        and not progress.closed(one.line)
        and one.line.trade not in ("setback", WAITING_GROUP)
        and not (one.line.trade == "labour" and one.line.stage in stages)
    }
    return _worth(piece.plan, lines, missing)


def _worth(plan: Priced, lines: Sequence[Filled], quantities: dict[str, float]) -> dict[str, Decimal]:
    """Quantities at the plan's rates, with the overhead and sundries that follow; lines worth nothing left out."""
    hours = sum(quantities.get(one.line.id, 0.0) for one in lines if one.line.of_people)
    money = {
        one.line.id: exact(quantities[one.line.id] * one.line.rate, plan.digits)
        for one in lines
        if one.line.id in quantities and one.line.supplied != "client" and not follows(one.line)
    }
    materials = sum(
        (money[one.line.id] for one in lines if one.line.id in money and one.line.material), Decimal(0)
    )
    for line, quantity in following(lines, hours, float(materials)):
        money[line.id] = exact(float(quantity) * line.rate, plan.digits)
    if quantities.get(TRIP):
        money[TRIP] += plan.chain.delivery_extra
    return {id: amount for id, amount in money.items() if amount}


def _rest(one: Filled) -> float:
    """Quantity that a line has left. A thing paid for without a count is bought; what was spoiled has to be had again."""
    line = one.line
    if line.material:
        if one.paid and not one.bought:
            return 0.0
        have = max(one.quantity, one.bought) - one.spoiled
        return max(line.quantity - have, 0.0)
    if line.by_others or line.trade == "carriage" or line.id == TRIP:
        return 0.0 if one.logged else line.quantity
    return max(line.quantity - one.quantity, 0.0)


def _take_stage_hours(rest: dict[str, float], lines: Sequence[Filled]) -> None:
    """Take hours of which only the stage is known off what that stage has left, in proportion."""
    left: dict[str, float] = defaultdict(float)
    for one in lines:
        if one.line.trade == "labour":
            left[one.line.stage] += rest.get(one.line.id, 0.0)
    worked = stage_hours(lines)
    for one in lines:
        stage = one.line.stage
        if one.line.id in rest and one.line.trade == "labour" and worked.get(stage) and left[stage]:
            rest[one.line.id] *= max(0.0, 1 - worked[stage] / left[stage])


def spending_of(piece: Piece, delivery: float) -> Spending:
    """The spending of a piece. `delivery` is what its plan sets aside for packing, bringing and waiting [money]: it is left
    out of the cost; where the ledger speaks of a delivery, what that has cost is left out instead.

    What is left of the reserve is its share that is still to be spent; a built piece needs none.
    """
    plan, figures = piece.plan, in_hand(piece)
    lines, rest, missing = figures.lines, figures.rest, figures.missing
    planned = float(plan.cost["planned"])
    left = 0.0 if piece.standing.built else min(float(figures.to_spend) / planned, 1.0) if planned else 0.0
    reserve = float(plan.cost["reserve"]) * left

    hours = own_hours(piece, ((one.line, _amount(rest, one) + _amount(missing, one)) for one in lines))
    brought = [one for one in lines if one.line.id == TRIP or one.line.stage == "delivery"]
    if any(one.logged for one in brought):  # what a delivery has cost, not what one was planned to
        delivery = sum(float(one.amount) + _amount(rest, one) + _amount(missing, one) for one in brought)
    return Spending(
        cash_spent=cash_logged(piece),
        cash_to_spend=sum(_amount(rest, one) for one in lines if is_cash(one.line)),
        not_recorded=sum(_amount(missing, one) for one in lines if is_cash(one.line)),
        base=float(figures.expected_cost) + reserve - delivery,
        reserve=reserve,
        own_hours=hours,
        own_pay=hours * rate_of(plan, f"pay.{OWNER}"),
        actual=True,
        built=piece.standing.built,
    )


def own_hours(piece: Piece, still: Iterable[tuple[PricedLine, float]]) -> float:
    """Hours of the owner [h]: those in the ledger, setbacks included, and those that lines are still open for at the plan's
    rate, by the money that is open on each.
    """
    mine = (one for one in piece.holding if one.kind in WORK and (one.who or OWNER) == OWNER)
    to_come = (money / line.rate for line, money in still if is_own_hours(line) and line.rate)
    return sum(one.hours_worked for one in mine) + sum(to_come)


def cash_logged(piece: Piece) -> float:
    """Money that went to others by the ledger: paid less credited, setbacks, the pay of helpers [money]."""
    return sum(_cash(entry, piece) for entry in piece.holding)


def _cash(entry: Entry, piece: Piece) -> float:
    paid = SIGNS.get(entry.kind, 0) * float(entry.money or 0)
    if entry.kind in WORK and entry.who not in ("", OWNER):
        paid += entry.hours_worked * rate_of(piece.plan, f"pay.{entry.who}")
    return paid


def trip_overhead(piece: Piece) -> float:
    """Overhead on the hours of trips that were logged [money], where the shop puts any on them."""
    if not piece.plan.shop.delivery.overhead_on_trip:
        return 0.0
    hours = sum(entry.hours_worked for entry in piece.holding if entry.kind == "trip")
    return hours * rate_of(piece.plan, "overhead")


def _amount(money: Mapping[str, Decimal], one: Filled) -> float:
    return float(money.get(one.line.id, 0))


class InHand(NamedTuple):
    """Figures of a piece on a day [money]. `kept` is what stays of the contract after fees and expected cost.

    `margin` is None where nothing comes in. `held` is money of a client who no longer owes or is owed the piece: to be given
    back, or kept by agreement. `not_recorded` is what lines behind it must have cost of which no entry
    speaks, at the plan; `unrecorded` are their ids. `rest` and `missing` are what both are made of, by line id.
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
    rest: Mapping[str, Decimal]
    missing: Mapping[str, Decimal]

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
    rest = remaining(piece, lines)
    to_spend = sum(rest.values(), Decimal(0))
    missing = unrecorded(piece, lines)
    not_recorded = sum(missing.values(), Decimal(0))
    kept = contract.left - cost - to_spend - not_recorded
    return InHand(
        contract=contract,
        lines=lines,
        cost=cost,
        received=received(piece),
        held=Decimal(0)
        if contract.firm or piece.standing.deal == AWAITING
        else received(piece) - kept_of(piece),
        to_spend=to_spend,
        not_recorded=not_recorded,
        kept=kept,
        margin=kept / contract.net if contract.net else None,
        planned_cost=plan.planned_cost,
        hours=labour_hours(lines),
        planned_hours=plan.quantities["labour_hours"],
        unrecorded=tuple(one.line.id for one in lines if one.line.id in missing and not follows(one.line)),
        rest=rest,
        missing=missing,
    )


def received(piece: Piece) -> Decimal:
    """Payments received less those given back."""
    signs = {"received": 1, "refunded": -1}
    return sum(
        (signs[entry.kind] * (entry.money or Decimal(0)) for entry in piece.holding if entry.kind in signs),
        Decimal(0),
    )
