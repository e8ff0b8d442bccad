"""How far each laminate is: rounds pressed, plies laid, thickness measured, laying times, by its entries."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.review.fill_targets import Lines

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from quoting.inputs.resin_trades import Laminate
    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced, PricedLine

METRES_PER_MM = 0.001


class Height(NamedTuple):
    """A thickness measured [m] over so many plies, at the end of a round (0 where the round was not said)."""

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
    up to which round it was logged (0 where no round was said).
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
    the number of the last. Plies are those under the last thickness; a round pressed since then laid as many as planned.
    """
    mine = [line.id for line in plan.lines if line.id.startswith(f"laminate.{part.id}.")]
    lines = Lines(plan)
    laying: dict[int, float] = {}
    logged_to: dict[str, int] = {}
    heights = []
    for entry in entries:
        if entry.kind == "measured" and entry.part == part.part and entry.plies and entry.amount:
            heights.append(Height(entry.round or 0, entry.plies, entry.amount * METRES_PER_MM))
        if entry.kind not in ("hours", "used") or entry.round is None:
            continue
        for line in _of(lines.filled_by(entry), mine):
            logged_to[line.id] = max(entry.round, logged_to.get(line.id, 0))
            if line.id.endswith(".laying"):
                laying[entry.round] = laying.get(entry.round, 0.0) + (entry.amount or 0.0)
    rounds = max([*logged_to.values(), *(one.round for one in heights)], default=0)
    if not rounds:
        return None
    card = next((one for one in plan.bench if one.path == f"laminate.{part.id}"), None)
    each = [sum(count for _, count in one.plies) for one in card.rounds] if card is not None else []
    last = max(heights, key=lambda one: (one.plies, one.round), default=None)
    laid = last.plies if last is not None else 0
    since = rounds - last.round if last is not None else rounds
    laid += since * (each[0] if each else part.block) if last is None or last.round else 0
    told = sorted(laying)
    return Pressed(
        part.id,
        rounds,
        laid,
        tuple(heights),
        tuple(LayingTime(before, one, laying[one]) for before, one in zip([0, *told], told, strict=False)),
        logged_to,
    )


def _of(lines: Sequence[PricedLine], mine: Sequence[str]) -> list[PricedLine]:
    return [line for line in lines if line.id in mine]
