"""Totals of a piece that was never logged: hours by stage, receipts by trade, trips and setbacks become the entries of a piece."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial

from quoting.errors import Problem, nearest
from quoting.job.job import Actuals
from quoting.job.rules import OWNER
from quoting.ledger.entries import Entry
from quoting.ledger.quotes import Face, Issued, Number
from quoting.ledger.states import AGREED, SOLD, Standing
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import TRIP, hour_lines, matching, paid_lines
from quoting.logbook.targets import setback_line
from quoting.money import exact, shared_out, trusted
from quoting.pricing.record import Priced


def coarse_piece(plan: Priced, actuals: Actuals, today: date) -> Piece:
    """The piece that totals tell of; what they leave out is not recorded. A price that is left out is the one quoted."""
    day = actuals.finished or today
    held = [replace(one, id=place) for place, one in enumerate(_entries(plan, actuals, day), start=2)]
    paid = exact(trusted(actuals.price), plan.digits) if actuals.price is not None else None
    deal = AGREED if paid is None else SOLD
    made = Entry(kind="state", day=day, said=deal, money=paid, digits=plan.digits, id=1)
    piece = plan.job.piece
    face = Face(
        plan.day, plan.day, piece.title, plan.job.client.name, piece.basis, plan.currency, plan.digits, plan.chain.total
    )  # fmt: skip
    issued = Issued(0, 0, Number(plan.day.year, 0), face, {}, "")
    return Piece(
        quotes=(issued,), quote=issued, sold=plan, plan=plan, former=(), changes=(), entries=(made, *held),
        holding=(made, *held), standing=Standing(deal, day, None, made, built=True, delivered=True),
    )  # fmt: skip


def actuals_problems(plan: Priced, actuals: Actuals) -> Iterator[Problem]:
    """Stages and trades that the job does not have, and setbacks that cost nothing."""
    stages = {line.stage for line in hour_lines(plan.lines)}
    for stage in actuals.hours:
        if stage not in stages:
            yield Problem.of(
                f"hours.{stage}",
                "found no hours of this stage in the job",
                nearest(stage, sorted(stages)),
                "unknown_name",
            )
    trades = list(dict.fromkeys(line.trade for line in paid_lines(plan.lines)))
    for trade in actuals.receipts:
        if trade not in trades:
            yield Problem.of(
                f"receipts.{trade}",
                "found nothing of this trade in the job",
                nearest(trade, trades),
                "unknown_name",
            )
    for place, one in enumerate(actuals.setbacks, start=1):
        if not one.hours and not one.cost:
            yield Problem.of(
                f"setbacks.{place}", "found neither hours nor cost", "write hours, cost, or both", "missing"
            )


def _entries(plan: Priced, actuals: Actuals, day: date) -> Iterator[Entry]:
    digits, made = plan.digits, partial(Entry, day=day, digits=plan.digits)
    for stage, hours in actuals.hours.items():
        if hours > 0:
            yield made(kind="hours", stage=stage, amount=hours, unit="h", who=OWNER, about=True)
            continue
        nobody = (line.id for line in hour_lines(plan.lines) if line.stage == stage)
        yield from (made(kind="done", line=id) for id in nobody)
    for trade, money in actuals.receipts.items():
        yield from _receipts(plan, trade, exact(trusted(money), digits), day)
    for trip in actuals.trips:
        line = TRIP if matching(plan.lines, line=TRIP) else ""
        item = "" if line else "trip"
        yield made(
            kind="trip", line=line, item=item, amount=trip.distance, unit="m", hours=trip.hours, who=OWNER
        )
    for one in actuals.setbacks:
        money_lost = None if one.cost is None else exact(trusted(one.cost), digits)
        line = setback_line(plan.lines, one.what)
        yield made(kind="setback", line=line, hours=one.hours, money=money_lost, who=OWNER, said=one.what)


def _receipts(plan: Priced, trade: str, paid: Decimal, day: date) -> Iterator[Entry]:
    """Money of a trade over its lines, by what was planned for each."""
    lines = [line for line in plan.lines if line.trade == trade and line.supplied == "bought"]
    weights = [line.amount for line in lines]
    if not any(weights):
        weights = [Decimal(1)] * len(lines)
    for line, part in zip(lines, shared_out(paid, weights, plan.digits), strict=True):
        if not part:  # nothing was paid for it, which is not "not recorded"
            yield Entry(kind="done", day=day, line=line.id, digits=plan.digits)
        else:
            yield Entry(kind="paid", day=day, line=line.id, money=part, digits=plan.digits)
