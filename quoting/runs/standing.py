"""Where a piece in its build stands, and how it will end."""

from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.errors import refused
from quoting.forecast.build import build_of
from quoting.forecast.forecast import Forecast, forecast
from quoting.ledger import quotes
from quoting.ledger.states import BOUND, OPEN, OWN_STOCK
from quoting.ledger.store import reading
from quoting.logbook.piece import Piece, piece_of
from quoting.logbook.saying import day_of
from quoting.risk.drawn import seed_and_draws
from quoting.runs.as_quoted import brief_of
from quoting.runs.of_gone_trades import lost
from quoting.runs.risk import refuse_draws
from quoting.runs.shops import typed
from quoting.trades.laminate import LAMINATE


class Stands(NamedTuple):
    """A piece, the day, where it stands, and what its log leaves open."""

    piece: Piece
    day: date
    standing: Forecast
    notes: tuple[str, ...]


class Asked(NamedTuple):
    """What the maker asks: a day (text, "" for today), draws and seed else as job and shop say."""

    on: str
    draws: int | None
    seed: int | None


SEVERAL = "several pieces alike: the rounds of their panels are not followed one by one"

AS_QUOTED = "{} is not installed: what is still to come of its trade stands as it was quoted"


def standing(folder: Path, name: str, asked: Asked) -> Stands:
    """Where a piece stands at the end of a day. Raises Problems for a piece on which nothing more will be done."""
    refuse_draws(asked.draws, asked.seed)
    with typed("--on"):
        day = day_of(asked.on, date.today())
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, name), day if asked.on else None)
        _refuse_ended(piece)
        brief = brief_of(book, piece, folder)
    own_seed, own_draws = seed_and_draws(brief)
    seed = own_seed if asked.seed is None else asked.seed
    found = forecast(build_of(piece, brief), day, seed, asked.draws or own_draws)
    several = brief.job.piece.quantity > 1 and bool(LAMINATE.of(brief.job))
    notes = [SEVERAL] if several else []
    notes += [AS_QUOTED.format(one.outside) for one in lost(piece.plan)]
    return Stands(piece, day, found, tuple(notes))


def _refuse_ended(piece: Piece) -> None:
    there = piece.standing
    if there.deal in (*BOUND, *OWN_STOCK, OPEN) and not there.delivered:
        return
    if not there.words:
        raise refused("--on", "found a day before the quote was issued", "write a later day")
    found = f'{piece.number} is "{there.words}": nothing more is done on it'
    raise refused("", found, f"see how it went: quoting review {piece.number}")
