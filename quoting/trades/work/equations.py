"""Hours of people as a maker writes them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.labour import hours_need, wrong_learning
from quoting.takeoff.needs import TakeOff
from quoting.takeoff.numbers import crawford_total, picked, times
from quoting.values import Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.work.record import Work


def take_off(part: Work, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Hours of a task: a total, or a time for each with learning from one to the next."""
    setup = picked(pick, part.setup)
    if part.hours is not None:
        hours = pick(part.hours)
        words, numbers = "{hours:time}", {"hours": hours}
    else:
        each = picked(pick, part.each)
        learning = 1.0 if part.learning is None else pick(part.learning)
        hours = each * crawford_total(count=part.quantity, learning=learning)
        words = "{quantity:number} x {each:time}"
        words += "" if part.learning is None else " with each doubling at {learning:share}"
        numbers = {"each": each, "quantity": part.quantity, "learning": learning}
    words += "" if part.setup is None else " + set-up {setup:time}"
    need = hours_need(
        "work", part, "hours", hours + setup, basis(words, setup=setup, **numbers), part.who or "owner"
    )
    return TakeOff(needs=(need,))


def rules(part: Work) -> Iterator[Problem]:
    """Hours in all, or a time for each."""
    if (part.hours is None) == (part.each is None):
        wanted = 'write hours = "3 h", or each and quantity'
        yield Problem.of(f"work.{part.id}", "found both or neither of hours and each", wanted, "one_of")
    if part.hours is not None and (part.quantity > 1 or part.learning is not None):
        words = "found quantity or learning with hours in all"
        yield Problem.of(f"work.{part.id}", words, "write each, or hours alone", "conflict")


def problems(part: Work, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A learning rate is a share above zero."""
    yield from wrong_learning(f"work.{part.id}", part.learning)


def several(part: Work, copies: int) -> Work:
    """Work of several pieces alike: a time for each is counted more often, a time in all grows."""
    if part.each is not None:
        return replace(part, quantity=part.quantity * copies)
    return replace(part, hours=part.hours and times(part.hours, copies))
