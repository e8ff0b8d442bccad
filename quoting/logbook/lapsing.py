"""Quotes that nobody has answered and whose time is nearly up, or has just run out."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quoting.ledger.states import AWAITING, LAPSED
from quoting.logbook.piece import Piece

DAYS = 7
"""How long before its last day a quote is told of, and how long after it."""


class Lapse(NamedTuple):
    """A quote that is open until a day; `days` are those that are left, below 0 those since."""

    number: str
    title: str
    client: str
    currency: str
    total: Decimal
    until: date
    days: int


def lapsing(pieces: Iterable[Piece], day: date) -> tuple[Lapse, ...]:
    """Quotes that lapse within a week of a day, or did within the week before it, the first to lapse first."""
    found = []
    for piece in pieces:
        face, left = piece.quote.face, (piece.quote.face.valid_until - day).days
        if piece.standing.deal in (AWAITING, LAPSED) and abs(left) <= DAYS:
            said = (face.title, face.client, face.currency, face.total, face.valid_until)
            found.append(Lapse(str(piece.number), *said, left))
    return tuple(sorted(found, key=lambda one: (one.until, one.number)))
