"""Boards: rough sizes, staves, tallies and what must be bought for what is needed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.takeoff.numbers import TOLERANCE, first, pair_m, whole_down, whole_up
from quoting.takeoff.stock import Blanks, CutGroup, Item
from quoting.trades.hardwood import SPECIES, TIMBER
from quoting.values import INCH_M, SQUARE_FOOT_M2, Num, Pick, Yield, basis, key, rough_text

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.hardwood.record import Hardwood, Timber


class Blank(NamedTuple):
    """The rough size a part is cut from: `width_m` is bought width, staves and their joints included."""

    length_m: float
    width_m: float
    thickness_m: float
    staves: float


def needed_rough_m(*, thickness_m: float, layers: int, planing_m: float) -> float:
    """Thickness a board must have before planing [m]: one layer's share plus the planing allowance."""
    return thickness_m / layers + planing_m


def needed_for_m(part: Hardwood, timber: Timber) -> float:
    """Thickness a board for a part must have before planing [m]."""
    return needed_rough_m(thickness_m=part.thickness, layers=part.layers, planing_m=timber.planing_allowance)


def chosen_rough_m(part: Hardwood, timber: Timber) -> float | None:
    """The rough thickness given, or the smallest the shop keeps that is enough; None if none is."""
    if part.rough is not None:
        return part.rough
    needed = needed_for_m(part, timber)
    return min((size for size in timber.sizes if size >= needed * (1 - TOLERANCE)), default=None)


def item_name(part: Hardwood, timber: Timber) -> str:
    """The price-book item of a part: species and rough thickness."""
    return f"{part.species} {rough_text(chosen_rough_m(part, timber) or 0.0)}"


def stave_count(*, rough_width_m: Num, stave_m: Num, joint_loss_m: Num) -> Num:
    """Staves of a glued-up panel: ceil(rough width / (stave width - joint loss))."""
    return whole_up(rough_width_m / (stave_m - joint_loss_m))


def blank(part: Hardwood, timber: Timber) -> Blank:
    """The blank of one layer of a part."""
    width = part.width + timber.width_allowance
    staves = 1.0
    if part.glued_up:
        staves = float(
            stave_count(rough_width_m=width, stave_m=timber.stave_width, joint_loss_m=timber.joint_loss)
        )
        width += staves * timber.joint_loss
    return Blank(part.length + timber.length_allowance, width, chosen_rough_m(part, timber) or 0.0, staves)


def charged_thickness_m(*, rough_m: float, timber: Timber) -> float:
    """Nominal thickness a yard charges [m]: stock under 1 in counts as 1 in where sold by the board foot."""
    if timber.sold_by == "bd ft" and timber.count_under_one_inch:
        return max(rough_m, INCH_M)
    return rough_m


def net_m3(*, length_m: Num, width_m: Num, thickness_m: Num) -> Num:
    """Volume of a blank at nominal thickness [m3]."""
    return length_m * width_m * thickness_m


def tallied_m3(*, volume_m3: Num, thickness_m: float) -> Num:
    """Volume as a yard tallies it [m3]: surface measure in whole square feet, times thickness.

    Surface measure = width (in) x length (ft) / 12, rounded to the nearest whole square foot (trade
    association's summary of the grading rules); no yard hands out nothing, so at least one.
    """
    surface_ft2 = volume_m3 / thickness_m / SQUARE_FOOT_M2
    return np.maximum(whole_down(surface_ft2 + 0.5), 1.0) * SQUARE_FOOT_M2 * thickness_m


def yield_of(part: Hardwood, shop: Shop, pick: Pick) -> Yield:
    """What is bought for one of what is needed where no cut plan says it: 1 + waste, or 1 / yield. The waste is the part's own,
    that of its species, else that of the shop.
    """
    if part.yield_ is not None:
        share = pick(part.yield_)
        return Yield({"volume": 1 / share}, basis("/ yield {share:share}", share=share))
    timber = TIMBER.of(shop)
    known = (own.waste for name, own in SPECIES.of(shop).items() if key(name) == key(part.species))
    usual = timber.waste_matched if part.figure == "matched" else first(next(known, None), timber.waste)
    waste = pick(first(part.waste, usual))
    return Yield({"volume": 1 + waste}, basis("x (1 + waste {waste:share})", waste=waste))


def density_at(density_12_kg_m3: float, moisture: float) -> float:
    """Density at a moisture content [kg/m3]: 1000 G (1 + M), G held at its value for 12 %.

    USDA Wood Handbook (FPL-GTR-282), Eq. 4-14.
    """
    return density_12_kg_m3 / 1.12 * (1 + moisture)


def cut_from(part: Hardwood, shop: Shop, tables: Tables) -> CutGroup | None:  # noqa: ARG001
    """What a part is cut from where boards are listed; None for one that cannot be reckoned."""
    timber = TIMBER.of(shop)
    if not all(side > 0 for side in (part.length, part.width, part.thickness)) or not chosen_rough_m(
        part, timber
    ):
        return None
    size = blank(part, timber)
    width = part.width + timber.width_allowance  # a plan chooses its own staves
    charged_m = charged_thickness_m(rough_m=size.thickness_m, timber=timber)
    net = float(net_m3(length_m=size.length_m, width_m=size.width_m, thickness_m=charged_m))
    path, number = f"hardwood.{part.id}", part.quantity * part.layers
    blanks = Blanks(path, part.part, size.length_m, width, number, net * number)
    if part.glued_up:
        blanks = blanks._replace(staves=(timber.stave_least, timber.stave_most, timber.joint_loss))
    else:
        two_m = pair_m(part, timber.kerf, width - part.width)
        blanks = blanks._replace(two_m=two_m, or_else=", or glued_up = true for a panel of staves")
    return CutGroup(
        "hardwood",
        item_name(part, timber),
        Item("board", part.species, size.thickness_m),
        timber.kerf,
        (blanks,),
        partial(_amounts, timber),
        trim=(timber.end_trim, 0.0),
    )


def _amounts(timber: Timber, length_m: float, width_m: float, rough_m: float) -> dict[str, float]:
    """A board by itself, as the yard charges it."""
    thickness = charged_thickness_m(rough_m=rough_m, timber=timber)
    volume = length_m * width_m * thickness
    if timber.tally == "surface measure":
        volume = float(tallied_m3(volume_m3=volume, thickness_m=thickness))
    return {"volume": volume}


def rough(part: Hardwood, shop: Shop, planned: bool) -> tuple[tuple[float, ...], int, int]:
    """The blank of a part before planing [m], its staves (0 where a cut plan says how many) and its layers."""
    size = blank(part, TIMBER.of(shop))
    sides = (float(size.length_m), float(size.width_m), float(size.thickness_m))
    return sides, 0 if part.glued_up and planned else int(size.staves), part.layers
