"""Finished pieces of a ledger, ready to be looked back on; those whose papers cannot be read any more are told."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problems
from quoting.forecast.build import build_of
from quoting.ledger import quotes
from quoting.ledger.states import ENDED
from quoting.ledger.store import reading
from quoting.logbook.in_hand import in_hand
from quoting.logbook.piece import piece_of
from quoting.runs.piece_brief import brief_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from quoting.forecast.build import Build
    from quoting.ledger.entries import Entry
    from quoting.logbook.piece import Piece


class Finished(NamedTuple):
    """Builds of pieces that are built; of those given up before they were; every piece; the shop's own entries; and what could
    not be read.
    """

    builds: tuple[Build, ...]
    given_up: tuple[Build, ...]
    pieces: tuple[Piece, ...]
    shop: tuple[Entry, ...]
    unread: tuple[str, ...]


def finished(folder: Path, step: Callable[[str], None]) -> Finished:
    """Every finished piece of a ledger with the brief that it was built by."""
    from quoting.ledger import entries

    builds: list[Build] = []
    given_up: list[Build] = []
    pieces, unread = [], []
    with reading(folder) as book:
        latest = {one.piece_id: one for one in quotes.every(book)}
        for one in latest.values():
            piece = piece_of(book, one)
            pieces.append(piece)
            there = piece.standing
            if not (there.built or (there.deal in ENDED and in_hand(piece).cost)):
                continue
            step(f"reading {piece.number}")
            try:
                (builds if there.built else given_up).append(build_of(piece, brief_of(book, piece, folder)))
            except Problems as wrong:
                unread.append(f"{piece.number}: {wrong.problems[0]}")
        shop = tuple(entries.standing(entries.of_piece(book, None)))
    return Finished(tuple(builds), tuple(given_up), tuple(pieces), shop, tuple(unread))
