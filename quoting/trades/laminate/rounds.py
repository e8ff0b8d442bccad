"""A laminate round by round: what is laid, how long it takes, how much resin and bag it swallows."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple, cast

import numpy as np

from quoting.takeoff.labour import own_time
from quoting.takeoff.mixing import mixes
from quoting.takeoff.numbers import first, picked, total, whole_down, whole_up
from quoting.trades.laminate import LAMINATES
from quoting.trades.laminate.plies import (
    Layout,
    fibre_fraction,
    fibre_mass_kg_m2,
    layout,
    plies_needed,
    ply_thickness,
)
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
    """A laminate part reckoned through to its rounds. Lengths in m, areas in m2, times in h.

    What it loses: resin on sheet outside the panel [kg/m2], bleed a round [m], the share left in cups.
    """

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
    cure_h: float
    fitting_plies: Num
    per_round: Num
    resin: Resin
    wet_out_kg_m2: Num
    bleed_m: Num
    mixing_loss: Num
    rounds: tuple[Round, ...] = ()

    @property
    def fibre_share(self) -> Num:
        """Share of a cured ply that is fibre."""
        return fibre_fraction(
            fibre_kg_m2=self.fibre_kg_m2, density_kg_m3=self.fibre.density_kg_m3, ply_thickness_m=self.ply_m
        )

    @property
    def cycles(self) -> Num:
        """Bagging rounds."""
        return total(one.held for one in self.rounds)

    @property
    def laying_h(self) -> Num:
        """Laying time of all rounds [h]."""
        return total(one.laying_h for one in self.rounds)

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
    removed = total(pick(row.removes) for row in part.flatten)
    laid, pressed = (pick(certain(0.0, f"laminate.{part.id}.{name}")) for name in (LAID, PRESSED))
    plies = plies_needed(
        thickness_m=part.thickness, removed_m=removed, ply_thickness_m=ply_m, block=part.block
    )
    time_per_ply = _time_per_ply_h(part, shop, area, pick)
    close = pick(first(part.close_bag, standing.close_bag))
    working = first(part.working_time, resin.working_time)
    fitting = fitting_plies(
        working_h=working,
        used=standing.working_time_used,
        close_h=close,
        time_per_ply_h=time_per_ply,
        block=part.block,
    )
    given = np.float64(part.plies_per_round or 0)
    lay = LayUp(
        length_m=length,
        width_m=width,
        area_m2=area,
        ply_m=ply_m,
        fibre=tables.fibres[key(part.fibre)],
        fibre_kg_m2=fibre_mass_kg_m2(
            ply_mass_kg_m2=part.ply_mass, in_panel_m2=laid_out.in_panel_m2, area_m2=area
        ),
        layout=laid_out,
        removed_m=removed,
        plies=np.maximum(plies, laid),
        time_per_ply_h=time_per_ply,
        close_h=close,
        learning=pick(first(part.learning, standing.learning)),
        working_h=working,
        cure_h=first(part.cure_time, resin.cure_time),
        fitting_plies=fitting,
        per_round=given or np.maximum(fitting, part.block),
        resin=resin,
        wet_out_kg_m2=pick(first(part.wet_out, standing.wet_out)),
        bleed_m=pick(first(part.bleed, standing.bleed)),
        mixing_loss=pick(first(part.mixing_loss, standing.mixing_loss)),
    )
    removed_after: dict[int, Num] = defaultdict(float)
    for row in part.flatten:
        if row.after is not None:
            removed_after[row.after] = removed_after[row.after] + pick(row.removes)
    return replace(lay, rounds=_rounds(lay, removed_after, laid, pressed))


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


def _rounds(lay: LayUp, removed_after: dict[int, Num], known_plies: Num, pressed: Num) -> tuple[Round, ...]:
    """Round after round, as many as the slowest draw needs; the last lays what is left.

    Rounds that were pressed already laid the plies that are known, each as many; the others lay what is missing.
    """
    pace = {"time_per_ply_h": lay.time_per_ply_h, "learning": lay.learning, "close_h": lay.close_h}
    rounds = []
    laid: Num = np.float64(0)
    gone: Num = np.float64(0)
    left = lay.plies - known_plies
    each = known_plies / np.maximum(pressed, 1.0)
    most = np.minimum(np.max(pressed + whole_up(left / lay.per_round)), MOST_ROUNDS)
    for number in range(1, int(most) + 1):
        to_come = np.clip(left - (number - 1 - pressed) * lay.per_round, 0.0, lay.per_round)
        now = np.where(number <= pressed, each, to_come)
        held = np.where(now > 0, 1.0, 0.0)
        clock = clock_h(plies=now, number=number, **pace)
        laid = laid + now
        height = np.maximum(laid * lay.ply_m - gone, 0.0)
        rounds.append(Round(now, clock - lay.close_h, clock * held, height, held))
        gone = gone + removed_after.get(number, 0.0)
    return tuple(rounds)


def resin_m3(*, lay: LayUp) -> Num:
    """Mixed resin for a panel [m3]: the sum over its rounds.

    (Area x plies x (ply thickness - fibre mass per area / density of the fibre) + wet-out of sheet that lies outside the panel
    + rounds x area x bleed) / (1 - mixing loss). The first term is the volume that fibre leaves free in the panel; a larger
    sheet does not move it.
    """
    return total(round_resin_m3(lay=lay, one=one) for one in lay.rounds)


def round_resin_m3(*, lay: LayUp, one: Round) -> Num:
    """Mixed resin of one round [m3]: its plies' part of panel and wet-out, and its bleed, / (1 - mixing loss)."""
    wet_out = lay.wet_out_kg_m2 * outside_m2(lay) * lay.plies / lay.resin.density
    by_plies = (resin_in_panel_m3(lay) + wet_out) / lay.plies
    return (by_plies * one.plies + one.held * lay.area_m2 * lay.bleed_m) / (1 - lay.mixing_loss)


def resin_in_panel_m3(lay: LayUp) -> Num:
    """Resin that stays in the lay-up [m3]: A n (t - m_eff / rho_f), never below nothing."""
    return lay.area_m2 * lay.plies * np.maximum(lay.ply_m - lay.fibre_kg_m2 / lay.fibre.density_kg_m3, 0.0)


def outside_m2(lay: LayUp) -> float:
    """Sheet of one ply that lies outside the panel [m2]."""
    return float(np.maximum(lay.layout.sheet_m2 - lay.layout.in_panel_m2, 0.0))


def batches(*, lay: LayUp) -> Num:
    """Mixes of resin: each round's own resin (by its plies, and its bleed), in mixes no larger than allowed."""
    each = (round_resin_m3(lay=lay, one=one) for one in lay.rounds)
    return total(mixes(volume_m3=volume, most_m3=lay.resin.most_in_one_mix) for volume in each)
