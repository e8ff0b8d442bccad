"""What there is to do on a piece next: tasks with the hours they may take, resin that cures, things and money that are waited for."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import Literal, NamedTuple

from quoting.costing.model import FINISHING
from quoting.ledger.states import BOUND
from quoting.logbook.filled import Filled
from quoting.logbook.in_hand import InHand, quantities_left, received
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import LAST_STAGE, Lines, task_of
from quoting.pricing.bench_record import Step
from quoting.takeoff.labour import OFFICE
from quoting.takeoff.numbers import TOLERANCE
from quoting.values import key

BENCH = "bench"
ORDER = (BENCH, FINISHING, OFFICE, LAST_STAGE)
"""Stages of a piece that is begun, as its work comes; the desk comes before the bench where nothing is done yet."""

OF_THE_PIECE, SET_UP = "standard.", "-setup"
"""How ids of work on a piece as a whole begin, and how the name of setting up for work on its parts ends."""


class Task(NamedTuple):
    """Work that is not done: the line of the plan, its hours planned, so far and left [h]. `at_once_h` of them can be done before
    something cures [h], of the `step` of so many `steps` (0 where there are none); `cures_until` is the day on whose evening its part
    is free. `today_h` is what a day has room for [h].
    """

    line: str
    stage: str
    part: str
    name: str
    allowed_h: float
    so_far_h: float
    left_h: float
    at_once_h: float
    step: int = 0
    steps: int = 0
    cures_until: date | None = None
    today_h: float = 0.0


class Cure(NamedTuple):
    """A round, pour or coat that the log tells of, left alone until the evening of a day; `number` of so many `steps`."""

    kind: str
    part: str
    number: int
    steps: int
    begun: date
    ends: date


class Waits(NamedTuple):
    """What a piece waits for: a thing to be ordered, or on its way and expected on a `day`; a payment that is due, of an `amount`."""

    kind: Literal["order", "delivery", "payment"]
    what: str
    whose: str
    lead_days: float = 0.0
    day: date | None = None
    amount: Decimal | None = None


class Stage(NamedTuple):
    """A step of the calendar of the plan, counted from the day of the order: what runs on a day by it, or begins next."""

    kind: str
    what: str
    number: int
    steps: int
    first: date
    last: date


class Ahead(NamedTuple):
    """What is ahead of a piece. `ready` is the day that its calendar names, `promised` one that the quote does."""

    ordered: date
    ready: date
    promised: date | None
    tasks: tuple[Task, ...]
    cures: tuple[Cure, ...]
    waits: tuple[Waits, ...]
    planned: tuple[Stage, ...]

    @property
    def due(self) -> date:
        """The day by which it is to be ready."""
        return self.promised or self.ready


def ahead_of(piece: Piece, figures: InHand, day: date) -> Ahead:
    """What is ahead of a piece at the beginning of a day."""
    plan, left = piece.plan, quantities_left(piece, figures.lines)
    ordered = piece.standing.entry.day if piece.standing.entry is not None else plan.day
    chains = _chains(piece)
    cures = tuple(cure for one in chains.values() if (cure := one.cure) is not None and day <= cure.ends)
    steps = [_on_days(one, ordered) for one in plan.calendar if one.ends_d > one.starts_d]
    running = [one for one in steps if one.first <= day < max(one.last, one.first + timedelta(days=1))]
    following = [one for one in steps if one.first > day]
    return Ahead(
        ordered=ordered,
        ready=plan.calendar[-1].last_day(ordered) if plan.calendar else ordered,
        promised=plan.job.quote.ready_by,
        tasks=tuple(_one_after_another(list(_tasks(figures.lines, left, chains, day)))),
        cures=cures,
        waits=(*_payments(piece), *_things(piece, figures.lines, left, day)),
        planned=tuple(running or following[:1]),
    )


def _on_days(one: Step, ordered: date) -> Stage:
    return Stage(one.kind, one.what, one.number, one.steps, one.first_day(ordered), one.last_day(ordered))


class _Chain(NamedTuple):
    """A part that is pressed, poured or coated step by step: a step of its plan, how many were made, and the day of the last one."""

    step: Step
    made: int
    last: date | None

    @property
    def cure(self) -> Cure | None:
        """The rest after the last step. A log knows days, not hours: it is counted from that evening."""
        if self.last is None:
            return None
        step, number = self.step, min(self.made, self.step.steps)
        ends = self.last + timedelta(days=ceil(step.hours / 24))
        return Cure(step.kind, step.what, number, step.steps, self.last, ends)


def _chains(piece: Piece) -> dict[str, _Chain]:
    """Parts that something has to cure on, by how the ids of their lines begin. A round was made on the first day that its number is named;
    where none is named, a step was made on every day on which something was used on the part.
    """
    lines, found = Lines(piece.plan, piece.former), {}
    for step in piece.plan.calendar:
        path = f"{step.part}."
        if not step.hours or "." not in step.part or path in found:
            continue
        rounds: dict[int, date] = {}
        days: set[date] = set()
        for entry in piece.holding:
            there = lines.filled_by(entry) if entry.kind in ("used", "hours") else ()
            if not there or not all(one.id.startswith(path) for one in there):
                continue
            if entry.round:  # what follows a round, such as taking it out, carries its number too
                rounds[entry.round] = min(rounds.get(entry.round, entry.day), entry.day)
            elif entry.kind == "used":
                days.add(entry.day)
        made = max(rounds) if rounds else len(days)
        found[path] = _Chain(step, made, rounds[made] if rounds else max(days, default=None))
    return found


def _tasks(
    lines: Sequence[Filled], left: Mapping[str, float], chains: Mapping[str, _Chain], day: date
) -> Iterator[Task]:
    """Tasks that have hours left: what is begun first, then by stage, then as the plan has them.

    Of a part with steps that cure, a day takes one step: as much of what is left as one of the steps that are left. What no step took
    hours for yet comes after the last one.
    """
    of_people = [one for one in lines if one.line.of_people]
    order = ORDER if any(one.quantity for one in of_people) else (OFFICE, *ORDER)

    def place(one: Filled) -> tuple[bool, int]:
        return not one.quantity, order.index(one.line.stage if one.line.stage in order else BENCH)

    for one in sorted(of_people, key=place):
        line, rest = one.line, left.get(one.line.id, 0.0)
        if line.trade != "labour" or rest <= TOLERANCE:
            continue
        task = Task(line.id, line.stage, line.part, task_of(line), line.quantity, one.quantity, rest, rest)
        chain = next((chain for path, chain in chains.items() if line.id.startswith(path)), None)
        if chain is not None and chain.made < chain.step.steps:
            to_make = chain.step.steps - chain.made
            share = 0.0 if chain.made and not one.quantity else rest / to_make
            task = task._replace(at_once_h=share, step=chain.made + 1, steps=chain.step.steps)
        if chain is not None and chain.cure is not None and day <= chain.cure.ends:
            task = task._replace(at_once_h=0.0, cures_until=chain.cure.ends)
        yield task


def _one_after_another(tasks: Sequence[Task]) -> Iterator[Task]:
    """Parts at the bench come first, then what is done to the piece as a whole, then finishing, then bringing: where something of
    one of them cannot be done to its end at once, those behind it wait. The desk waits for none.
    """
    of_parts = {one.name for one in tasks if not one.line.startswith(OF_THE_PIECE)}

    def place(one: Task) -> int:
        if one.stage in (FINISHING, LAST_STAGE):
            return ORDER.index(one.stage) + 1
        setting_up = one.name.removesuffix(SET_UP) in of_parts
        return 1 if one.line.startswith(OF_THE_PIECE) and not setting_up else 0

    held = (place(one) for one in tasks if one.stage != OFFICE and one.at_once_h < one.left_h - TOLERANCE)
    first = min(held, default=len(ORDER) + 1)
    for one in tasks:
        yield one._replace(at_once_h=0.0) if one.stage != OFFICE and place(one) > first else one


def _things(piece: Piece, lines: Sequence[Filled], left: Mapping[str, float], day: date) -> Iterator[Waits]:
    """Things that are still to be had and do not come on the day they are asked for, the longest lead first."""
    there = Lines(piece.plan, piece.former)
    paid = {
        key(line.item): entry.day
        for entry in piece.holding
        if entry.kind == "paid"
        for line in there.filled_by(entry)
    }
    for row in sorted(piece.plan.buying, key=lambda row: -row.lead_days):
        mine = [one for one in lines if key(one.line.item) == key(row.item)]
        wanted = sum(left.get(one.line.id, 0.0) for one in mine) > TOLERANCE
        bought = paid.get(key(row.item))
        comes = None if bought is None else bought + timedelta(days=ceil(row.lead_days))
        if comes is not None and comes > day and not any(one.quantity for one in mine):
            yield Waits("delivery", row.item, row.supplier, row.lead_days, comes)
        elif wanted and bought is None and row.lead_days >= 1:
            yield Waits("order", row.item, row.supplier, row.lead_days)


def _payments(piece: Piece) -> Iterator[Waits]:
    """The first payment that has not come in whole, of a piece that somebody owes."""
    had = received(piece)
    if piece.standing.deal not in BOUND:
        return
    for one in piece.sold.payments:
        if had < one.total:
            yield Waits("payment", one.name, one.due, amount=one.total - had)
            return
        had -= one.total
