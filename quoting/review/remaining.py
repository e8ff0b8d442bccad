"""What is still to be spent on a piece, and what was spent but not recorded: both at the plan's prices."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.costing.lines import MATERIAL_GROUPS
from quoting.ledger.states import BOUND, OPEN, OWN_STOCK
from quoting.money import exact
from quoting.review.fill_targets import BY_STAGE
from quoting.review.filled import follows
from quoting.review.known import TRIP, hour_lines, task_of
from quoting.values import slug

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.ledger.entries import Entry
    from quoting.ledger.states import Standing
    from quoting.pricing.record import Priced, PricedLine
    from quoting.review.filled import Filled

LAST_STAGE = "delivery"
WAITING_GROUP = "channel"


def remaining(
    plan: Priced, lines: Sequence[Filled], entries: Sequence[Entry], standing: Standing
) -> dict[str, Decimal]:
    """Money still to be spent, by line id.

    A line's rest is planned less actual quantity, never below nothing; hours of which only the stage is known
    come off that stage. A built piece has its delivery left, a delivered one nothing.
    """
    if standing.delivered or standing.deal not in (*BOUND, *OWN_STOCK, OPEN):
        return {}
    done = [entry for entry in entries if entry.kind == "done"]
    ahead = [one for one in lines if not (standing.built and not _comes_last(one.line))]
    rest = {one.line.id: _rest(one) for one in ahead if not any(_is_done(one.line, entry) for entry in done)}
    _take_stage_hours(rest, lines)
    return _worth(plan, lines, rest)


def unrecorded(
    plan: Priced, lines: Sequence[Filled], entries: Sequence[Entry], standing: Standing
) -> dict[str, Decimal]:
    """What lines must have cost that are behind a piece and of which nothing was recorded, by line id, at the plan.

    Not recorded is not nothing. Setbacks that nobody logged did not happen; a stage of which hours were logged is
    recorded, and so is what was marked as done.
    """
    if not (standing.built or standing.delivered) or standing.deal not in (*BOUND, *OWN_STOCK):
        return {}
    done = [entry for entry in entries if entry.kind == "done"]
    stages = {one.line.stage for one in lines if one.line.id.startswith(f"{BY_STAGE}.")}
    missing = {
        one.line.id: one.line.quantity
        for one in lines
        if not one.logged
        and (standing.delivered or not _comes_last(one.line))
        and one.line.trade not in ("setback", WAITING_GROUP)
        and not (one.line.trade == "labour" and one.line.stage in stages)
        and not any(_is_done(one.line, entry) for entry in done)
    }
    return _worth(plan, lines, missing)


def _worth(plan: Priced, lines: Sequence[Filled], quantities: dict[str, float]) -> dict[str, Decimal]:
    """Quantities at the plan's rates, with the overhead and sundries that follow; lines worth nothing left out."""
    hours = sum(quantities.get(one.line.id, 0.0) for one in lines if hour_lines([one.line]))
    money = {
        one.line.id: exact(quantities[one.line.id] * one.line.rate, plan.digits)
        for one in lines
        if one.line.id in quantities and one.line.supplied != "client" and not follows(one.line)
    }
    materials = sum(
        (money[one.line.id] for one in lines if one.line.id in money and one.line.trade in MATERIAL_GROUPS),
        Decimal(0),
    )
    for one in lines:
        if rule := follows(one.line):
            money[one.line.id] = exact(
                (hours if rule == "hours" else float(materials)) * one.line.rate, plan.digits
            )
    if quantities.get(TRIP):
        money[TRIP] += plan.chain.delivery_extra
    return {id: amount for id, amount in money.items() if amount}


def _rest(one: Filled) -> float:
    """Quantity that a line has left. A thing paid for without a count is bought."""
    line = one.line
    if line.trade in MATERIAL_GROUPS:
        if one.paid and not one.bought:
            return 0.0
        return max(line.quantity - max(one.quantity, one.bought), 0.0)
    if line.trade in ("outwork", "carriage") or line.id == TRIP:
        return 0.0 if one.logged else line.quantity
    return max(line.quantity - one.quantity, 0.0)


def _comes_last(line: PricedLine) -> bool:
    """True for what is spent once a piece is built."""
    return line.stage == LAST_STAGE or line.trade in ("delivery_carried", WAITING_GROUP)


def _is_done(line: PricedLine, entry: Entry) -> bool:
    if entry.line:
        return line.id == entry.line
    if entry.stage and not entry.task and not entry.part:
        return line.stage == entry.stage
    hours = bool(hour_lines([line]))
    by_task = not entry.task or (hours and task_of(line) == slug(entry.task))
    return by_task and (not entry.part or slug(line.part) == slug(entry.part))


def _take_stage_hours(rest: dict[str, float], lines: Sequence[Filled]) -> None:
    """Take hours of which only the stage is known off what that stage has left, in proportion."""
    left: dict[str, float] = defaultdict(float)
    for one in lines:
        if hour_lines([one.line]) and one.line.trade == "labour":
            left[one.line.stage] += rest.get(one.line.id, 0.0)
    worked = {one.line.stage: one.quantity for one in lines if one.line.id.startswith(f"{BY_STAGE}.")}
    for one in lines:
        stage = one.line.stage
        if one.line.id in rest and one.line.trade == "labour" and worked.get(stage) and left[stage]:
            rest[one.line.id] *= max(0.0, 1 - worked[stage] / left[stage])
