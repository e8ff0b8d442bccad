"""The command that says what to do today and next, over all pieces in hand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from quoting.as_data.happened import today_data
from quoting.cli.app import Answer, Folder, Json, command, here, this_day
from quoting.cli.ledger import LAPSING, lapse_rows
from quoting.cli.price import CURES
from quoting.cli.terminal import aside, block, blocks, bold, counted, money, row, whole_row, wrapped
from quoting.values import slug

if TYPE_CHECKING:
    from quoting.logbook.ahead import Task, Waits
    from quoting.runs.today import Bench, Today

MOST = 4
"""Tasks and waits of a piece that are told one by one."""


@command("adding up")
def today(as_json: Json = False, shop: Folder = None) -> Answer:
    """Show what to do today and next.

    For each piece in hand: tasks that today has room for with their hours, what follows, what cures and until when, what is
    to be ordered, what is on its way, which payment is due.
    """
    from quoting.runs.today import today as recipe

    found = recipe(here(shop), this_day())
    return Answer(today_data(found) if as_json else _text(found))


def _text(found: Today) -> str:
    """What today holds, then piece by piece, then what to write down."""
    to_go = sum(one.to_go_h for one in found.rows)
    pieces = counted(len(found.rows), "piece")
    answer = f"{_clock(found.work_h)} of work for a day of {_clock(found.room_h)}; {_clock(to_go)} to go on {pieces} in hand"
    first = next((one for one in found.rows if one.today), None)
    log = 'quoting log NUMBER hours "2 h" TASK'
    if first is not None:
        log = f'quoting log {first.piece.number} hours "2 h" --line {first.today[0].line}'
    return blocks(
        bold(f"Today, {found.day.isoformat()}")
        + "\n"
        + (wrapped(answer, "  ") if found.rows else "  nothing in hand"),
        *(block(_title(one, found.day), _rows(one)) for one in found.rows),
        block(LAPSING, lapse_rows(found.lapsing)),
        aside(CURES) if any(one.ahead.cures for one in found.rows) else "",
        aside(f"What is done: {log}") if found.rows else "",
    )


def _title(one: Bench, day: date) -> str:
    face, ahead = one.piece.quote.face, one.ahead
    who = f" for {face.client}" if face.client else ""
    when = f"promised for {ahead.promised}" if ahead.promised else f"ready by {ahead.ready} as planned"
    late = (day - ahead.due).days
    return f"{one.piece.number} {face.title}{who}: {when}" + (
        f", {counted(late, 'day')} ago" if late > 0 else ""
    )


def _rows(one: Bench) -> Iterator[str]:
    for task in one.today:
        yield whole_row(f"  today  {_task(task)}", _clock(task.today_h))
    for cure in one.ahead.cures:
        which = f"{cure.kind} {cure.number} of {cure.steps}"
        yield _told(f"cures  {cure.part}, {which} of {cure.begun}: until the evening of {cure.ends}")
    for waits in one.ahead.waits[:MOST]:
        yield _waits(waits, one)
    if len(one.ahead.waits) > MOST:
        yield f"  waits  for {len(one.ahead.waits) - MOST} things more: quoting buying {one.piece.number}"
    for task in one.next[:MOST]:
        held = f", once it has cured ({task.cures_until})" if task.cures_until else ""
        yield whole_row(f"  next   {_task(task)}{held}", _clock(task.left_h))
    rest = one.next[MOST:]
    if rest:
        yield row(f"  later  {counted(len(rest), 'task')}", _clock(sum(task.left_h for task in rest)))
    for step in one.ahead.planned:
        what = " ".join(part for part in (step.kind, step.what) if part)
        which = f" {step.number} of {step.steps}" if step.steps > 1 else ""
        yield _told(f"plan   {what}{which}: {step.first} to {step.last}")


def _told(words: str) -> str:
    """Words behind what they are about, over as many lines as they take."""
    return whole_row(f"  {words}", "", " " * 9)


def _clock(hours: float) -> str:
    """Hours as one says them of a day's work."""
    return f"{hours:.1f} h" if hours >= 1 else f"{hours * 60:.0f} min"


def _task(task: Task) -> str:
    name = task.name.replace("_", " ").replace("-", " ")
    where = f" ({task.part})" if task.part and slug(task.part) != slug(task.name) else ""
    step = f", step {task.step} of {task.steps}" if task.steps > 1 and task.at_once_h else ""
    return f"{name}{where}{step}: {_clock(task.so_far_h)} of {_clock(task.allowed_h)} so far"


def _waits(one: Waits, of: Bench) -> str:
    if one.amount is not None:
        return whole_row(f"  waits  for money: {one.what}, {one.whose}", money(of.piece.plan, one.amount))
    source = f" from {one.whose}" if one.whose else ""
    if one.day is not None:
        return _told(f"waits  for {one.what}{source}: on its way, expected by {one.day}")
    return _told(f"waits  for {one.what}{source}: to be ordered, {one.lead_days:g} days")
