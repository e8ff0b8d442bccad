"""What is still to be spent on a piece, and what was spent but not recorded: both at the plan's prices."""

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

from quoting.ledger.states import BOUND, OPEN, OWN_STOCK
from quoting.logbook.filled import Filled, follows, stage_hours
from quoting.logbook.names import TRIP, hour_lines
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import WAITING_GROUP, Progress
from quoting.money import exact
from quoting.pricing.record import Priced


def remaining(piece: Piece, lines: Sequence[Filled]) -> dict[str, Decimal]:
    """Money still to be spent, by line id.

    A line's rest is planned less actual quantity, never below nothing; hours of which only the stage is known
    come off that stage. A built piece has its delivery left, a delivered one nothing.
    """
    if piece.standing.deal not in (*BOUND, *OWN_STOCK, OPEN):
        return {}
    progress = Progress(piece.holding, piece.standing)
    rest = {one.line.id: _rest(one) for one in lines if not progress.behind(one.line)}
    _take_stage_hours(rest, lines)
    return _worth(piece.plan, lines, rest)


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
    hours = sum(quantities.get(one.line.id, 0.0) for one in lines if hour_lines([one.line]))
    money = {
        one.line.id: exact(quantities[one.line.id] * one.line.rate, plan.digits)
        for one in lines
        if one.line.id in quantities and one.line.supplied != "client" and not follows(one.line)
    }
    materials = sum(
        (money[one.line.id] for one in lines if one.line.id in money and one.line.material), Decimal(0)
    )
    for one in lines:
        if rule := follows(one.line):
            quantity = hours if rule == "hours" else float(materials)
            money[one.line.id] = exact(quantity * one.line.rate, plan.digits)
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
    if line.trade in ("outwork", "carriage") or line.id == TRIP:
        return 0.0 if one.logged else line.quantity
    return max(line.quantity - one.quantity, 0.0)


def _take_stage_hours(rest: dict[str, float], lines: Sequence[Filled]) -> None:
    """Take hours of which only the stage is known off what that stage has left, in proportion."""
    left: dict[str, float] = defaultdict(float)
    for one in lines:
        if hour_lines([one.line]) and one.line.trade == "labour":
            left[one.line.stage] += rest.get(one.line.id, 0.0)
    worked = stage_hours(lines)
    for one in lines:
        stage = one.line.stage
        if one.line.id in rest and one.line.trade == "labour" and worked.get(stage) and left[stage]:
            rest[one.line.id] *= max(0.0, 1 - worked[stage] / left[stage])
