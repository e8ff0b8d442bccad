"""Solid timber: from finished sizes to boards bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.takeoff.boards import (
    blank,
    charged_thickness_m,
    density_at,
    item_name,
    net_m3,
    tallied_m3,
    yield_of,
)
from quoting.takeoff.record import Need, TakeOff
from quoting.values import BOARD_FOOT_M3, basis, key

if TYPE_CHECKING:
    from quoting.inputs.shop import Shop
    from quoting.inputs.tables import Tables
    from quoting.inputs.trades import Hardwood
    from quoting.values import Pick


def take_off(part: Hardwood, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Boards to buy for a part, its mass and the work it drives."""
    timber = shop.timber
    size = blank(part, timber)
    charged_m = charged_thickness_m(rough_m=size.thickness_m, timber=timber)
    net = net_m3(length_m=size.length_m, width_m=size.width_m, thickness_m=charged_m) * part.layers
    bought_for = yield_of(part, shop, pick)
    bought = net * part.quantity * bought_for.factor
    if timber.tally == "surface measure":
        bought = tallied_m3(volume_m3=bought, thickness_m=charged_m)
    words = "{length:length} x {width:length} x {thickness:length} rough"
    words += (
        " (staves of {stave:length} less {loss:length} a joint: {staves:number})" if part.glued_up else ""
    )
    words += " x {layers:number} layers" if part.layers > 1 else ""
    words += " = {net:timber}"
    words += " x {quantity:number} " + bought_for.words.words
    words += ", tallied as {tallied:timber} in whole square feet" if timber.tally == "surface measure" else ""
    outline = part.shape_area or part.length * part.width
    surface = 2 * outline + 2 * (part.length + part.width) * part.thickness
    density = tables.species[key(part.species)].density_kg_m3
    return TakeOff(
        needs=(
            Need(
                id=f"hardwood.{part.id}.timber",
                trade="hardwood",
                part=part.part,
                kind="material",
                item=item_name(part, timber),
                amounts={"volume": bought},
                basis=basis(
                    words,
                    length=size.length_m,
                    width=size.width_m,
                    thickness=charged_m,
                    staves=size.staves,
                    stave=timber.stave_width,
                    loss=timber.joint_loss,
                    tallied=bought,
                    net=net,
                    layers=part.layers,
                    quantity=part.quantity,
                    **bought_for.words.numbers,
                ),
                stage=part.stage or "bench",
                named_by=f"hardwood.{part.id}.species",
                supplied=part.supplied,
                kept=outline * part.thickness * part.quantity / bought,
            ),
        ),
        drivers={
            "bd ft": net * part.quantity / BOARD_FOOT_M3,
            "m3": net * part.quantity,
            "part": part.quantity,
            "m2": surface * part.quantity,
            **({"panel": glue_ups(part) * part.quantity} if glue_ups(part) else {}),
            **({"joint": part.joints * part.quantity} if part.joints else {}),
        },
        facts={"hardwood_bd_ft": bought / BOARD_FOOT_M3},
        mass_kg=outline * part.thickness * part.quantity * density_at(density, timber.moisture),
        shaped=part.shape_area is not None,
        setup_key=item_name(part, timber),
        skip=frozenset(
            name
            for name, standard in shop.standard.items()
            if standard.per == "joint" and name != part.joinery
        ),
    )


def glue_ups(part: Hardwood) -> int:
    """Glue-ups of one part: each layer that is glued up from staves, and the layers to each other."""
    return (part.layers if part.glued_up else 0) + (1 if part.layers > 1 else 0)
