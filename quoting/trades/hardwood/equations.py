"""Solid timber: from finished sizes to boards bought."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from quoting.takeoff.needs import Need, TakeOff, part_need
from quoting.takeoff.stock import stock_needs
from quoting.trades.hardwood import TIMBER
from quoting.trades.hardwood.boards import (
    blank,
    charged_thickness_m,
    density_at,
    item_name,
    net_m3,
    tallied_m3,
    yield_of,
)
from quoting.values import BOARD_FOOT_M3, Basis, Pick, basis, key

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.hardwood.record import Hardwood


def take_off(part: Hardwood, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Boards to buy for a part, its mass and the work it drives."""
    timber = TIMBER.of(shop)
    size = blank(part, timber)
    charged_m = charged_thickness_m(rough_m=size.thickness_m, timber=timber)
    net = net_m3(length_m=size.length_m, width_m=size.width_m, thickness_m=charged_m) * part.layers
    words = "{length:length} x {width:length} x {thickness:length} rough"
    words += (
        " (staves of {stave:length} less {loss:length} a joint: {staves:number})" if part.glued_up else ""
    )
    words += " x {layers:number} layers" if part.layers > 1 else ""
    words += " = {net:timber} x {quantity:number}"
    outline = part.shape_area or part.length * part.width
    surface = 2 * outline + 2 * (part.length + part.width) * part.thickness
    density = tables.species[key(part.species)].density_kg_m3
    need = part_need(
        "hardwood",
        part,
        "timber",
        {},
        basis(
            words,
            length=size.length_m,
            width=size.width_m,
            thickness=charged_m,
            staves=size.staves,
            stave=timber.stave_width,
            loss=timber.joint_loss,
            net=net,
            layers=part.layers,
            quantity=part.quantity,
        ),
        item=item_name(part, timber),
        field="species",
        supplied=part.supplied,
        unit=("bd ft", BOARD_FOOT_M3) if timber.sold_by == "bd ft" else ("m3", 1.0),
    )
    other_joints = (
        name for name, one in shop.standard.items() if one.per == "joint" and name != part.joinery
    )
    planned = tables.yields.get(f"hardwood.{part.id}", ())
    yields = planned or (yield_of(part, shop, pick),)
    finished = outline * part.thickness * part.quantity
    needs = stock_needs(need, net * part.quantity, finished, "volume", yields)
    if timber.tally == "surface measure" and not planned:
        needs = (_tallied(needs[0], charged_m),)
    bought_m3 = sum((one.amounts["volume"] for one in needs), start=np.float64(0))
    return TakeOff(
        needs=needs,
        drivers={
            "bd ft": net * part.quantity / BOARD_FOOT_M3,
            "m3": net * part.quantity,
            "part": part.quantity,
            "m2": surface * part.quantity,
            **({"panel": glue_ups(part) * part.quantity} if glue_ups(part) else {}),
            **({"joint": part.joints * part.quantity} if part.joints else {}),
        },
        facts={"hardwood_bd_ft": bought_m3 / BOARD_FOOT_M3},
        mass_kg=finished * density_at(density, timber.moisture),
        shaped=part.shape_area is not None,
        setup_key=item_name(part, timber),
        skip=frozenset(other_joints),
    )


def _tallied(need: Need, thickness_m: float) -> Need:
    """The need as a yard tallies it, all of a part at once: a cut plan knows the boards, and tallies each."""
    volume = need.amounts["volume"]
    bought = tallied_m3(volume_m3=volume, thickness_m=thickness_m)
    words = need.basis.words + ", tallied as {tallied:timber} in whole square feet"
    return replace(
        need,
        amounts={"volume": bought},
        basis=Basis(words, {**need.basis.numbers, "tallied": bought}),
        kept=need.kept * volume / bought,
    )


def glue_ups(part: Hardwood) -> int:
    """Glue-ups of one part: each layer that is glued up from staves, and the layers to each other."""
    return (part.layers if part.glued_up else 0) + (1 if part.layers > 1 else 0)
