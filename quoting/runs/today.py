"""What to do today and next over all pieces in hand: work that a day has room for, what cures, what is waited for."""

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from quoting.job.load import load_shop
from quoting.ledger.states import OWN_STOCK
from quoting.logbook.ahead import Ahead, Task, ahead_of
from quoting.logbook.in_hand import InHand, in_hand
from quoting.logbook.lapsing import Lapse, lapsing
from quoting.logbook.piece import Piece
from quoting.runs.shops import every_piece


@dataclass(frozen=True, slots=True)
class Bench:
    """A piece in hand, its figures, and what is ahead of it."""

    piece: Piece
    figures: InHand
    ahead: Ahead

    @property
    def today(self) -> tuple[Task, ...]:
        """What this day has room for."""
        return tuple(one for one in self.ahead.tasks if one.today_h)

    @property
    def next(self) -> tuple[Task, ...]:
        """What follows: tasks that this day has no room for, or that have to wait for others of their part."""
        return tuple(one for one in self.ahead.tasks if not one.today_h)

    @property
    def to_go_h(self) -> float:
        """Hours of work that are left [h]."""
        return sum(one.left_h for one in self.ahead.tasks)


@dataclass(frozen=True, slots=True)
class Today:
    """A day: pieces in hand, the one that is due first first; `room_h` are the hours of a working day [h]."""

    day: date
    room_h: float
    rows: tuple[Bench, ...]
    lapsing: tuple[Lapse, ...]

    @property
    def work_h(self) -> float:
        """Hours of work that this day holds [h]."""
        return sum(task.today_h for row in self.rows for task in row.today)


def today(folder: Path, day: date) -> Today:
    """What to do on a day and after it. Hours of a day go to the piece that is due first, then to the next one."""
    every = every_piece(folder)
    week = load_shop(folder).shop.shop.week  # after the quotes, which know the trades that are gone
    room = left = week.hours / week.days
    rows = [Bench(one, found, ahead_of(one, found, day)) for one, found in _in_hand(every)]
    placed = []
    for row in sorted(rows, key=lambda one: (one.ahead.due, str(one.piece.number))):
        tasks = []
        for task in row.ahead.tasks:
            hours = min(task.at_once_h, left)
            left -= hours
            tasks.append(task._replace(today_h=hours))
        placed.append(replace(row, ahead=row.ahead._replace(tasks=tuple(tasks))))
    return Today(day, room, tuple(placed), lapsing(every, day))


def _in_hand(every: list[Piece]) -> list[tuple[Piece, InHand]]:
    """Pieces that are made or brought: ordered, or for sale and not built yet."""
    found = []
    for piece in every:
        there = piece.standing
        if there.ordered or (there.deal in OWN_STOCK and not there.built):
            found.append((piece, in_hand(piece)))
    return found
