"""A laminate round by round: what is laid, how long it takes, how much resin and bag it swallows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, cast

import numpy as np

from quoting.takeoff.labour import own_time
from quoting.takeoff.numbers import first, picked, whole_down, whole_up
from quoting.trades.laminate import LAMINATES
from quoting.trades.laminate.plies import Layout, fibre_mass_kg_m2, layout, plies_needed, ply_thickness
from quoting.values import Num, Pick, certain, key

if TYPE_CHECKING:
    from quoting.job.shop import Resin, Shop
    from quoting.reading.tables import Fibre, Tables
    from quoting.trades.laminate.record import Laminate


class Round(NamedTuple):
    """One bagging round: plies laid, clock from mixing to a closed bag [h], cured height at its end [m]."""

    plies: Num
    laying_h: Num
    clock_h: Num
    height_m: Num
    held: Num  # 1 where the round happens in this draw, else 0


@dataclass(frozen=True, slots=True)
class LayUp:
    """A laminate part reckoned through to its rounds. Lengths in m, areas in m2, times in h."""

    length_m: float
    width_m: float
    area_m2: float
    ply_m: Num
    fibre: Fibre
    fibre_kg_m2: float
    layout: Layout
    removed_m: Num
    plies: Num
    time_per_ply_h: Num
    close_h: Num
    learning: Num
    working_h: float
    working_used: float
    cure_h: float
    fitting_plies: Num
    per_round: Num
    rounds: tuple[Round, ...]
    resin: Resin

    @property
    def cycles(self) -> Num:
        """Bagging rounds."""
        return sum((one.held for one in self.rounds), start=np.float64(0))

    @property
    def laying_h(self) -> Num:
        """Laying time of all rounds [h]."""
        return sum((one.laying_h for one in self.rounds), start=np.float64(0))

    @property
    def longest_clock_h(self) -> Num:
        """The longest clock of a round [h]."""
        return cast("Num", np.max(np.array([one.clock_h for one in self.rounds]), axis=0))


LAID, PRESSED = "plies-laid", "rounds-pressed"
"""Inputs of a laminate that are nothing in a plan, and known of a piece that is being built."""

MOST_ROUNDS = 400  # a loop guard, not a trade limit: more is refused in words


def lay_up(part: Laminate, shop: Shop, tables: Tables, pick: Pick) -> LayUp:
    """Everything about a panel that its lines are made of."""
    standing = LAMINATES.of(shop)
    length, width = part.length + 2 * standing.trim, part.width + 2 * standing.trim
    area = length * width
    resin = shop.resin[part.resin]
    ply_m = pick(first(ply_thickness(part, shop)))
    laid_out = layout(part, length_m=length, width_m=width)
    fibre = tables.fibres[key(part.fibre)]
    removed = sum((pick(row.removes) for row in part.flatten), start=np.float64(0))
    laid, pressed = (pick(certain(0.0, f"laminate.{part.id}.{name}")) for name in (LAID, PRESSED))
    plies = plies_needed(
        thickness_m=part.thickness, removed_m=removed, ply_thickness_m=ply_m, block=part.block
    )
    plies = np.maximum(plies, laid)
    time_per_ply = _time_per_ply_h(part, shop, area, pick)
    close = pick(first(part.close_bag, standing.close_bag))
    learning = pick(first(part.learning, standing.learning))
    working = part.working_time if part.working_time is not None else resin.working_time
    fitting = fitting_plies(
        working_h=working,
        used=standing.working_time_used,
        close_h=close,
        time_per_ply_h=time_per_ply,
        block=part.block,
    )
    per_round = np.float64(part.plies_per_round) if part.plies_per_round else np.maximum(fitting, part.block)
    removed_after: dict[int, Num] = {}
    for row in part.flatten:
        if row.after is not None:
            removed_after[row.after] = removed_after.get(row.after, 0.0) + pick(row.removes)
    return LayUp(
        length_m=length,
        width_m=width,
        area_m2=area,
        ply_m=ply_m,
        fibre=fibre,
        fibre_kg_m2=fibre_mass_kg_m2(
            ply_mass_kg_m2=part.ply_mass, in_panel_m2=laid_out.in_panel_m2, area_m2=area
        ),
        layout=laid_out,
        removed_m=removed,
        plies=plies,
        time_per_ply_h=time_per_ply,
        close_h=close,
        learning=learning,
        working_h=working,
        working_used=standing.working_time_used,
        cure_h=resin.cure_time if part.cure_time is None else part.cure_time,
        fitting_plies=fitting,
        per_round=per_round,
        rounds=_rounds(plies, per_round, ply_m, time_per_ply, close, learning, removed_after, laid, pressed),
        resin=resin,
    )


def _time_per_ply_h(part: Laminate, shop: Shop, area_m2: float, pick: Pick) -> Num:
    """Laying time of one ply in the first round [h]: the part's own, else the standard per m2 of ply."""
    if part.time_per_ply is not None:
        return pick(part.time_per_ply)
    return picked(pick, own_time(laying_standard(part), part, shop)) * area_m2


def laying_standard(part: Laminate) -> str:
    """The standard operation that lays this part's plies."""
    return "laying_sheets" if part.roll_width is None else "laying_roll"


def fitting_plies(*, working_h: float, used: float, close_h: Num, time_per_ply_h: Num, block: int) -> Num:
    """The most plies, in whole blocks, that a first round can lay and close in: 0 where no block fits.

    (Working time x share of it used - closing the bag) / time per ply, rounded down to whole blocks.
    """
    room = np.maximum(working_h * used - close_h, 0.0)
    return whole_down(cast("Num", room / np.maximum(time_per_ply_h, 1e-12)) / block) * block


def clock_h(*, plies: Num, time_per_ply_h: Num, learning: Num, number: int, close_h: Num) -> Num:
    """Clock of a round, from mixing to the closed bag [h]: plies x time per ply x learning + closing the bag.

    Learning: k to the power of log2(learning rate) for the k-th round, so that every doubling of rounds takes that share of the time.
    """
    return cast("Num", plies * time_per_ply_h * np.power(np.float64(number), np.log2(learning)) + close_h)


def _rounds(
    plies: Num,
    per_round: Num,
    ply_m: Num,
    time_per_ply_h: Num,
    close_h: Num,
    learning: Num,
    removed_after: dict[int, Num],
    known_plies: Num,
    pressed: Num,
) -> tuple[Round, ...]:
    """Round after round, as many as the slowest draw needs; the last lays what is left.

    Rounds that were pressed already laid the plies that are known, each as many; the others lay what is missing.
    """
    rounds = []
    laid: Num = np.float64(0)
    gone: Num = np.float64(0)
    left = plies - known_plies
    each = known_plies / np.maximum(pressed, 1.0)
    most = np.minimum(np.max(pressed + whole_up(left / per_round)), MOST_ROUNDS)
    for number in range(1, int(most) + 1):
        to_come = np.clip(left - (number - 1 - pressed) * per_round, 0.0, per_round)
        now = np.where(number <= pressed, each, to_come)
        held = np.where(now > 0, 1.0, 0.0)
        clock = clock_h(
            plies=now, time_per_ply_h=time_per_ply_h, learning=learning, number=number, close_h=close_h
        )
        laid = laid + now
        rounds.append(Round(now, clock - close_h, clock * held, np.maximum(laid * ply_m - gone, 0.0), held))
        gone = gone + removed_after.get(number, 0.0)
    return tuple(rounds)
