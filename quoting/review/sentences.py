"""What a maker would say of a cause: "Two extra bagging rounds cost 412, more than half of the loss"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.review.causes import ROUNDS

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from quoting.forecast.build import Build
    from quoting.review.causes import Cause
    from quoting.review.statement import Statement

NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")

COST = {
    "price": "A lower price than quoted took {}",
    "asked_and_paid": "Changes that were asked and paid took {}",
    "asked_not_paid": "Changes that were asked and not paid in full took {}",
    "my_own": "My own changes cost {}",
    "scope": "What nobody had planned cost {}",
    "usage": "Material used beyond the plan cost {}",
    "prices_paid": "Dearer prices cost {}",
    "by_receipt": "Material by receipt cost {} more than planned",
    "hours": "Hours over the plan cost {}",
    "pay_rate": "Dearer hands than planned cost {}",
    "machine": "Machine hours over the plan cost {}",
    "setbacks": "Setbacks cost {} more than the plan set by",
    "overhead": "Overhead that belongs to no one task cost {}",
    "delivery": "Delivery cost {} more than planned",
    "fees": "Fees and waiting took {} more than planned",
}
"""What each cause says where it took something from the margin."""

GAINED = {
    "price": "A better price than quoted brought {}",
    "asked_and_paid": "Changes that were asked and paid brought {}",
    "asked_not_paid": "Changes that were asked brought {}",
    "my_own": "My own changes saved {}",
    "scope": "What was left out saved {}",
    "usage": "Material used sparingly saved {}",
    "prices_paid": "Better prices saved {}",
    "by_receipt": "Material by receipt cost {} less than planned",
    "hours": "Hours under the plan saved {}",
    "pay_rate": "Cheaper hands than planned saved {}",
    "machine": "Machine hours under the plan saved {}",
    "setbacks": "Setbacks that did not come saved {}",
    "overhead": "Overhead that belongs to no one task saved {}",
    "delivery": "Delivery cost {} less than planned",
    "fees": "Fees and waiting took {} less than planned",
}
"""What each cause says where it added to the margin."""


def sentence(build: Build, found: Statement, one: Cause, money: Callable[[Decimal], str]) -> str:
    """The sentence of a cause, with its share of what went missing where it took something."""
    gained = one.effect > 0
    amount = money(one.effect if gained else -one.effect)
    if one.kind == ROUNDS:
        words = f"{_rounds(build, one)} {'saved' if gained else 'cost'} {amount}"
    else:
        words = (GAINED if gained else COST)[one.kind].format(amount)
    return (
        f"{words}." if gained else f"{words}, {_share(float(-one.effect / found.missing))} that went missing."
    )


def _share(share: float) -> str:
    if share > 0.95:
        return "nearly all"
    if share > 0.55:
        return "more than half of all"
    if share > 0.45:
        return "half of all"
    return f"{share:.0%} of all"


def _rounds(build: Build, one: Cause) -> str:
    """More or fewer rounds and plies than planned, in words."""
    mine = next(p for p in build.pressed if p.id == one.part)
    card = next(c for c in build.piece.plan.bench if c.path == f"laminate.{one.part}")
    planned = sum(count for row in card.rounds for _, count in row.plies)
    more, plies = mine.rounds - len(card.rounds), mine.plies - planned
    if not more:
        kind = "more" if plies > 0 else "fewer"
        return f"{abs(plies)} {'ply' if abs(plies) == 1 else 'plies'} {kind} than planned on {card.part}"
    count = NUMBERS[abs(more)] if abs(more) < len(NUMBERS) else str(abs(more))
    which = f"{'extra' if more > 0 else 'saved'} bagging round{'s' if abs(more) > 1 else ''}"
    was = f"{mine.rounds} instead of {len(card.rounds)}, {mine.plies} plies instead of {planned}"
    return f"{count} {which} on {card.part} ({was})"
