"""How far each laminate is: rounds pressed, plies laid, thickness measured, laying times, by its entries."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from quoting.review.fill_targets import Lines

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from quoting.inputs.resin_trades import Laminate
    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced, PricedLine

METRES_PER_MM = 0.001


class Height(NamedTuple):
    """A thickness measured [m] over so many plies, at the end of a round."""

    round: int
    plies: int
    thickness_m: float


class LayingTime(NamedTuple):
    """Hours of laying, helpers included, in the rounds after `before` up to `last` [h]."""

    before: int
    last: int
    hours: float


class Pressed(NamedTuple):
    """What is known of a laminate: `rounds` and `plies` so far, its measurements, its laying times; for each line of it
    up to which round it was logged.
    """

    id: str
    rounds: int
    plies: int
    heights: tuple[Height, ...]
    laying: tuple[LayingTime, ...]
    logged_to: Mapping[str, int]

    @property
    def measured_m(self) -> float | None:
        """The last thickness measured [m]."""
        return self.heights[-1].thickness_m if self.heights else None


def pressed(part: Laminate, plan: Priced, entries: Sequence[Entry]) -> Pressed | None:
    """How far a laminate of a plan is; None where no round of it was logged.

    An entry that names a round stands for every round since the last one that its kind named: rounds logged together carry
    the number of the last; one that names none, for those pressed by its day. A thickness that names none is that of the round
    in which its plies were to be laid. Plies are those under the last thickness; a round since then laid as many as planned.
    """
    each, lines = _plies_of_a_round(part, plan), Lines(plan)
    heights, laying = [], defaultdict[int, float](float)
    logged_to: dict[str, int] = defaultdict(int)
    at_the_end: dict[date, int] = defaultdict(int)
    untold = []
    for entry in entries:
        if entry.kind == "measured" and entry.part == part.part and entry.plies and entry.amount:
            number = entry.round or -(-entry.plies // each)
            heights.append(Height(number, entry.plies, entry.amount * METRES_PER_MM))
            at_the_end[entry.day] = max(at_the_end[entry.day], number)
        if entry.kind not in ("hours", "used"):
            continue
        for line in _of(lines.filled_by(entry), part):
            if entry.round is None:
                untold.append((entry.day, line.id))
                continue
            logged_to[line.id] = max(logged_to[line.id], entry.round)
            at_the_end[entry.day] = max(at_the_end[entry.day], entry.round)
            if line.id.endswith(".laying"):
                laying[entry.round] += entry.amount or 0.0
    rounds = max(at_the_end.values(), default=0)
    if not rounds:
        return None
    for day, id in untold:
        by_then = max((number for when, number in at_the_end.items() if when <= day), default=rounds)
        logged_to[id] = max(logged_to[id], by_then)
    last = max(heights, key=lambda one: (one.plies, one.round), default=Height(0, 0, 0.0))
    told = sorted(laying)
    return Pressed(
        part.id,
        rounds,
        last.plies + (rounds - last.round) * each,
        tuple(heights),
        tuple(LayingTime(before, one, laying[one]) for before, one in zip([0, *told], told, strict=False)),
        dict(logged_to),
    )


def _plies_of_a_round(part: Laminate, plan: Priced) -> int:
    """Plies of a full round, by the plan."""
    card = next((one for one in plan.bench if one.path == f"laminate.{part.id}"), None)
    return sum(count for _, count in card.rounds[0].plies) if card is not None and card.rounds else part.block


def _of(lines: Sequence[PricedLine], part: Laminate) -> list[PricedLine]:
    """The lines of a laminate, where an entry speaks of no other: a round belongs to one laminate."""
    laid = [line for line in lines if line.id.startswith("laminate.")]
    mine = [line for line in laid if line.id.startswith(f"laminate.{part.id}.")]
    return mine if len(mine) == len(laid) else []
