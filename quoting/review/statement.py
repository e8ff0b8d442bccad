"""The statement of a finished piece: quoted to actual margin, what stays in hand, what the hour earned, and why."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from quoting.forecast.build import Build
from quoting.job.rules import OWNER
from quoting.logbook.filled import follows
from quoting.logbook.in_hand import cash_logged, own_hours, trip_overhead
from quoting.logbook.plan_lines import rate_of, task_of
from quoting.money import exact
from quoting.pricing.chain import SET_ASIDE, fees_of
from quoting.pricing.sale import an_hour, is_cash
from quoting.review.bridge import Bridge, Spent, bridge, spent_lines, stage_of, stages_logged
from quoting.review.causes import Cause, causes


class Task(NamedTuple):
    """Hours of a task over all parts [h]: as planned, as the rounds pressed should have taken, and as they were.

    Hours of which only the stage is known stand beside the tasks of that stage that nobody logged.
    """

    name: str
    planned: float
    standard: float
    actual: float


class RoundWas(NamedTuple):
    """A round of a laminate: thickness at its end [m] and laying time [h], planned and actual; None where nobody wrote it."""

    number: int
    planned_m: float | None
    actual_m: float | None
    planned_h: float | None
    actual_h: float | None


class Statement(NamedTuple):
    """A finished piece in figures [money, h].

    `overhead` is what the piece bears of the shop's overhead; `in_hand` what stays after tax, fees to others and all cash;
    `an_hour` what an own hour earned before own pay, after everything else; `given` what material cost that was given and came for
    nothing, `from_stock` what lay there already. `not_recorded` stands at the plan of what was done, `to_come` at the plan.
    """

    way: Bridge
    lines: tuple[Spent, ...]
    causes: tuple[Cause, ...]
    tasks: tuple[Task, ...]
    rounds: Mapping[str, tuple[RoundWas, ...]]
    quoted_share: float | None
    actual_share: float | None
    cost: Decimal
    overhead: Decimal
    in_hand: Decimal
    own_hours: float
    an_hour: Decimal | None
    hours: float
    material_worth: Decimal
    material_bought: Decimal
    given: Decimal
    from_stock: Decimal
    not_recorded: Decimal
    lines_not_recorded: tuple[str, ...]

    @property
    def without_overhead(self) -> Decimal:
        """The margin before the piece bore any overhead [money]."""
        return self.way.actual + self.overhead

    @property
    def recorded_share(self) -> float:
        """The share of the cost that the ledger tells of; the rest stands at the plan."""
        return float((self.cost - self.not_recorded) / self.cost) if self.cost else 0.0

    @property
    def missing(self) -> Decimal:
        """What all causes of loss together took from the margin [money]."""
        return -sum((one.effect for one in self.causes if one.effect < 0), Decimal(0))


def statement(build: Build) -> Statement:
    """The statement of a piece that is built, handed over, or given up."""
    piece = build.piece
    lines = spent_lines(build)
    way = bridge(piece, lines)
    sold, contract, digits, zero = piece.sold, way.contract, piece.plan.digits, Decimal(0)
    material = [one for one in lines if one.line.material]

    def summed(amounts: Iterable[Decimal]) -> Decimal:
        return sum(amounts, zero)

    cost = summed(one.actual for one in lines)
    fees = fees_of(contract.net, contract.total, sold.rules) if contract.net else {}
    aside = summed(fees.get(name, zero) for name in SET_ASIDE)
    cash = exact(cash_logged(piece), digits) + summed(one.open for one in lines if is_cash(one.line))
    own = own_hours(piece, ((one.line, float(one.open)) for one in lines))
    earned = an_hour(float(contract.left - cost), own * rate_of(piece.plan, f"pay.{OWNER}"), own)
    return Statement(
        way=way,
        lines=lines,
        causes=causes(build, way, lines),
        tasks=tasks(lines),
        rounds=rounds(build),
        quoted_share=float(way.quoted / sold.chain.net) if sold.chain.net else None,
        actual_share=contract.margin(float(cost)),
        cost=cost,
        overhead=summed(one.actual for one in lines if one.line.trade == "overhead")
        + exact(trip_overhead(piece), digits),
        in_hand=contract.left + aside - cash,
        own_hours=own,
        an_hour=None if earned is None else exact(earned, digits),
        hours=sum(one.quantity for one in lines if one.line.of_people),
        material_worth=summed(one.actual for one in material),
        material_bought=summed(one.actual for one in material if one.line.supplied == "bought"),
        given=summed(one.actual for one in material if one.line.supplied == "given"),
        from_stock=summed(one.actual for one in material if one.line.supplied == "rack"),
        not_recorded=summed(one.missing for one in lines),
        lines_not_recorded=tuple(one.line.id for one in lines if one.missing and not follows(one.line)),
    )


def tasks(lines: Sequence[Spent]) -> tuple[Task, ...]:
    """Every task of people, the one with the most hours first."""
    stages = stages_logged(lines)
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    for one in lines:
        if not one.line.of_people:
            continue
        name = one.line.part if one.line.trade == "setback" else task_of(one.line).replace("-", " ")
        if stage := stage_of(one, stages):
            name = f"{stage} work"
        for i, hours in enumerate((one.line.quantity, one.standard_quantity, one.quantity)):
            sums[name][i] += hours
    found = (Task(name, *hours) for name, hours in sums.items() if any(hours))
    return tuple(sorted(found, key=lambda one: -max(one.planned, one.actual)))


def rounds(build: Build) -> dict[str, tuple[RoundWas, ...]]:
    """The rounds of every laminate that is begun, by its name."""
    found = {}
    for card in build.piece.plan.bench:
        mine = build.panel_of(f"{card.path}.")
        if mine is None:
            continue
        heights = {one.round: one.thickness_m for one in mine.heights}
        each = {
            n: span.hours / (span.last - span.before)
            for span in mine.laying
            for n in range(span.before + 1, span.last + 1)
        }
        planned = {one.number: one for one in card.rounds}
        cards = ((n, planned.get(n)) for n in range(1, max(len(planned), mine.rounds) + 1))
        found[card.part] = tuple(
            RoundWas(n, at and at.height_m, heights.get(n), at and at.laying_h, each.get(n))
            for n, at in cards
        )
    return found
