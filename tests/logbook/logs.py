"""Entries as the intake makes them, and pieces without a ledger."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from quoting.ledger.quotes import Face, Issued, Number
from quoting.ledger.states import Standing
from quoting.logbook.intake import entry_of
from quoting.logbook.piece import Ordered, Piece
from quoting.logbook.saying import Saying
from quoting.logbook.targets import names_of_piece

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced

TODAY = date(2026, 6, 1)


def entry(plan: Priced, kind: str, value: str = "", **more: object) -> Entry:
    """The entry of a saying about a piece."""
    said = Saying(kind=kind, value=value, **more)  # type: ignore[arg-type]
    return entry_of(said, names_of_piece(plan), TODAY, 1, 1)


def entries(plan: Priced, *sayings: dict[str, object]) -> list[Entry]:
    """Several, numbered in their order."""
    made = [entry(plan, **saying) for saying in sayings]  # type: ignore[arg-type]
    return [replace(one, id=number) for number, one in enumerate(made, start=1)]


def piece(
    plan: Priced,
    holding: Sequence[Entry] = (),
    standing: Standing | None = None,
    changes: tuple[Ordered, ...] = (),
    then: Priced | None = None,
) -> Piece:
    """A piece that was ordered on a quote, without a ledger below it."""
    face = Face(
        plan.day,
        plan.day,
        plan.job.piece.title,
        "",
        "commission",
        plan.currency,
        plan.digits,
        plan.chain.total,
    )
    issued = Issued(1, 1, Number(2026, 1), face, {}, "")
    return Piece(
        quotes=(issued,),
        quote=issued,
        sold=plan,
        plan=then or plan,
        former=(plan,) if then else (),
        changes=changes,
        entries=tuple(holding),
        holding=tuple(holding),
        standing=standing or Standing(deal="agreed", since=plan.day),
    )
