"""Resin of a laminate: what stays in the panel, what is lost, how it is mixed."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.takeoff.mixing import mixed_words, mixes
from quoting.takeoff.needs import Need, part_need
from quoting.takeoff.numbers import first
from quoting.trades.laminate import LAMINATES
from quoting.trades.laminate.rounds import LayUp, Round
from quoting.values import Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.trades.laminate.record import Laminate


class Losses(NamedTuple):
    """What a lay-up loses: resin on sheet outside the panel [kg/m2], bleed a round [m], share left in cups."""

    wet_out_kg_m2: Num
    bleed_m: Num
    mixing_loss: Num


def losses(part: Laminate, shop: Shop, pick: Pick) -> Losses:
    """The part's own losses, else the shop's."""
    standing = LAMINATES.of(shop)
    return Losses(
        pick(first(part.wet_out, standing.wet_out)),
        pick(first(part.bleed, standing.bleed)),
        pick(first(part.mixing_loss, standing.mixing_loss)),
    )


def resin_m3(*, lay: LayUp, lost: Losses) -> Num:
    """Mixed resin for a panel [m3]: the sum over its rounds.

    (Area x plies x (ply thickness - fibre mass per area / density of the fibre) + wet-out of sheet that lies outside the panel
    + rounds x area x bleed) / (1 - mixing loss). The first term is the volume that fibre leaves free in the panel; a larger
    sheet does not move it.
    """
    return sum((round_resin_m3(lay=lay, lost=lost, one=one) for one in lay.rounds), start=np.float64(0))


def round_resin_m3(*, lay: LayUp, lost: Losses, one: Round) -> Num:
    """Mixed resin of one round [m3]: its plies' part of panel and wet-out, and its bleed, / (1 - mixing loss)."""
    by_plies = (resin_in_panel_m3(lay) + _wet_out_m3(lay, lost)) / lay.plies
    return (by_plies * one.plies + one.held * lay.area_m2 * lost.bleed_m) / (1 - lost.mixing_loss)


def resin_in_panel_m3(lay: LayUp) -> Num:
    """Resin that stays in the lay-up [m3]: A n (t - m_eff / rho_f), never below nothing."""
    return lay.area_m2 * lay.plies * np.maximum(lay.ply_m - lay.fibre_kg_m2 / lay.fibre.density_kg_m3, 0.0)


def _outside_m2(lay: LayUp) -> float:
    """Sheet of one ply that lies outside the panel [m2]."""
    return float(np.maximum(lay.layout.sheet_m2 - lay.layout.in_panel_m2, 0.0))


def _wet_out_m3(lay: LayUp, lost: Losses) -> Num:
    return lost.wet_out_kg_m2 * _outside_m2(lay) * lay.plies / lay.resin.density


def batches(*, lay: LayUp, lost: Losses) -> Num:
    """Mixes of resin: each round's own resin (by its plies, and its bleed), in mixes no larger than allowed."""
    each = (round_resin_m3(lay=lay, lost=lost, one=one) for one in lay.rounds)
    return sum(
        (mixes(volume_m3=volume, most_m3=lay.resin.most_in_one_mix) for volume in each), start=np.float64(0)
    )


def resin_need(part: Laminate, lay: LayUp, lost: Losses) -> Need:
    """The resin line of a laminate."""
    resin = resin_m3(lay=lay, lost=lost)
    return part_need(
        "laminate",
        part,
        "resin",
        {"volume": resin, "mass": resin * lay.resin.density},
        basis(
            "{plies:number} plies x {area:area} x ({ply:length} - fibre {fibre:areal_mass} / {density:density})"
            " + wet-out {wet_out:areal_mass} / {mixed:density} on sheet outside the panel ({outside:area} a ply)"
            " + {rounds:number} rounds x {bleed:depth_per_area} bleed; / (1 - mixing loss {loss:share})"
            + mixed_words(lay.resin),
            plies=lay.plies,
            area=lay.area_m2,
            ply=lay.ply_m,
            fibre=lay.fibre_kg_m2,
            density=lay.fibre.density_kg_m3,
            wet_out=lost.wet_out_kg_m2,
            mixed=lay.resin.density,
            outside=_outside_m2(lay),
            rounds=lay.cycles,
            bleed=lost.bleed_m,
            loss=lost.mixing_loss,
        ),
        supplied=part.resin_supplied,
    )
