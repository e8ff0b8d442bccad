"""How far each laminate is: rounds pressed, plies laid, thickness measured, laying times, by its entries."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.errors import Problem
from quoting.ledger.entries import Entry
from quoting.logbook.plan_lines import Lines
from quoting.pick import likely
from quoting.pricing.record import Priced, PricedLine

if TYPE_CHECKING:
    from quoting.trades.laminate.record import Laminate

METRES_PER_MM = 0.001


class Height(NamedTuple):
    """A thickness measured [m] over so many plies, at the end of a round; `laid_m` with what was flattened off before."""

    round: int
    plies: int
    thickness_m: float
    laid_m: float


class LayingTime(NamedTuple):
    """Hours of laying, helpers included, in the rounds after `before` up to `last`, and the plies laid in them [h]."""

    before: int
    last: int
    hours: float
    plies: float


class Pressed(NamedTuple):
    """What is known of a laminate: `rounds` and `plies` so far, its measurements, its laying times; and of how many rounds
    each line of it tells.
    """

    part: Laminate
    rounds: int
    plies: int
    heights: tuple[Height, ...]
    laying: tuple[LayingTime, ...]
    covered: Mapping[str, int]

    @property
    def lines(self) -> str:
        """How the ids of its lines begin."""
        return f"laminate.{self.part.id}."

    @property
    def last(self) -> Height | None:
        """The measurement over the most plies."""
        return max(self.heights, key=lambda one: (one.plies, one.round), default=None)


def pressed(part: Laminate, plan: Priced, entries: Sequence[Entry]) -> Pressed | None:
    """How far a laminate of a plan is; None where no round of it was logged.

    An entry that names a round stands for every round since the last one that any entry of the panel named: rounds logged
    together carry the number of the last. One that names none stands for the rounds pressed by its day; a thickness that
    names none for the round in which its plies were to be laid. Plies are those under the last thickness; a round since then
    laid as many as planned.
    """
    each, lines = _plies_of_a_round(part, plan), Lines(plan)
    heights = list(_heights(part, entries, each))
    logged = [
        (entry, line.id)
        for entry in entries
        if entry.kind in ("hours", "used")
        for line in _of(lines.filled_by(entry), part)
    ]
    by_day: dict[date, int] = defaultdict(int)
    for day, number in [
        *((e.day, round_of(e, each)) for e in measurements(part.part, entries)),
        *((e.day, e.round) for e, _ in logged if e.round),
    ]:
        by_day[day] = max(by_day[day], number)
    named = sorted({one.round for one in heights} | {entry.round for entry, _ in logged if entry.round})
    if not named:
        return None
    covered: dict[str, set[int]] = defaultdict(set)
    laying: dict[int, float] = defaultdict(float)
    for entry, id in logged:
        if entry.round is None:
            by_then = max((number for day, number in by_day.items() if day <= entry.day), default=named[-1])
            covered[id].update(range(1, by_then + 1))
            continue
        covered[id].update(range(_before(named, entry.round) + 1, entry.round + 1))
        if id.endswith(".laying"):
            laying[entry.round] += entry.amount or 0.0
    rounds = named[-1]
    last = max(heights, key=lambda one: (one.plies, one.round), default=Height(0, 0, 0.0, 0.0))
    plies = last.plies + max(rounds - last.round, 0) * each
    tops = _tops(heights, rounds, plies)
    spans = ((_before(named, number), number, hours) for number, hours in sorted(laying.items()) if hours > 0)
    times = (LayingTime(b, n, hours, tops[n] - tops[b]) for b, n, hours in spans if tops[n] > tops[b])
    counts = {id: len(numbers) for id, numbers in covered.items()}
    return Pressed(part, rounds, plies, tuple(heights), tuple(times), counts)


def _before(named: Sequence[int], number: int) -> int:
    """The last round named before one."""
    at = bisect_left(named, number)
    return named[at - 1] if at else 0


def _tops(heights: Sequence[Height], rounds: int, plies: int) -> list[float]:
    """Plies laid by the end of each round, from round 0 on: as measured, and evenly between."""
    counted = {0: 0.0, rounds: float(plies)}
    for one in heights:
        counted[one.round] = max(counted.get(one.round, 0.0), float(one.plies))
    numbers = sorted(counted)
    laid = np.maximum.accumulate([counted[number] for number in numbers])
    return [float(one) for one in np.interp(range(rounds + 1), numbers, laid)]


def _heights(part: Laminate, entries: Sequence[Entry], each: int) -> Iterator[Height]:
    for entry in measurements(part.part, entries):
        number, thickness = round_of(entry, each), (entry.amount or 0.0) * METRES_PER_MM
        gone = sum(float(likely(row.removes)) for row in part.flatten if row.after and row.after < number)
        yield Height(number, entry.plies or 0, thickness, thickness + gone)


def measurements(part: str, entries: Sequence[Entry]) -> Iterator[Entry]:
    """Thicknesses of a laminate, by its name, that say over how many plies they were measured."""
    for entry in entries:
        if entry.kind == "measured" and entry.part == part and entry.plies and entry.amount:
            yield entry


def round_of(entry: Entry, each: int) -> int:
    """The round of a thickness: the one it names, else that in which its plies were to be laid, so many at a time."""
    return entry.round or -(-(entry.plies or 0) // each)


def _plies_of_a_round(part: Laminate, plan: Priced) -> int:
    """Plies of a full round, by the plan."""
    card = next((one for one in plan.bench if one.path == f"laminate.{part.id}"), None)
    return sum(count for _, count in card.rounds[0].plies) if card is not None and card.rounds else part.block


def _of(lines: Sequence[PricedLine], part: Laminate) -> list[PricedLine]:
    """The lines of a laminate, where an entry speaks of no other: a round belongs to one laminate."""
    laid = [line for line in lines if line.id.startswith("laminate.")]
    mine = [line for line in laid if line.id.startswith(f"laminate.{part.id}.")]
    return mine if len(mine) == len(laid) else []


def contradictions(new: Entry, there: Sequence[Entry]) -> Iterator[Problem]:
    """What is wrong with a thickness beside those of its panel that hold: plies only grow from round to round."""
    if new.kind != "measured" or not new.plies or new.round is None:
        return
    for old in sorted(measurements(new.part, there), key=lambda one: -(one.round or 0)):
        if old.round is None or old.round == new.round or not old.plies:
            continue
        if (old.round < new.round) != (old.plies < new.plies):
            found = (
                f"found {new.plies} plies in round {new.round}; {old.plies} lay there in round {old.round}"
            )
            number = f" (log NUMBER void {old.id})" if old.id else ""
            yield Problem.of(
                "plies",
                found,
                f"write all plies under the thickness, or take the wrong entry back{number}",
                "conflict",
                plies=new.plies,
                round=new.round,
                number=number,
            )
            return
