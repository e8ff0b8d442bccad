"""Solid timber: boards to buy, mass and work; what makes a part impossible, and what casts doubt on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem, unknown
from quoting.takeoff.needs import Doubt, Need, TakeOff, doubt, part_need, untabled
from quoting.takeoff.numbers import TOLERANCE, total
from quoting.takeoff.stock import larger_shape, scrap, stock_needs
from quoting.trades.hardwood import TIMBER
from quoting.trades.hardwood.boards import (
    blank,
    charged_thickness_m,
    chosen_rough_m,
    density_at,
    item_name,
    needed_for_m,
    net_m3,
    tallied_m3,
    yield_of,
)
from quoting.values import BOARD_FOOT_M3, INCH_M, Basis, Pick, basis, key

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
    staves = " (staves of {stave:length} less {loss:length} a joint: {staves:number})"
    words += staves if part.glued_up else ""
    words += " x {layers:number} layers" if part.layers > 1 else ""
    words += " = {net:timber} x {quantity:number}"
    outline = part.shape_area or part.length * part.width
    surface = 2 * outline + 2 * (part.length + part.width) * part.thickness
    density = tables.species[key(part.species)].density_kg_m3
    said = basis(
        words, length=size.length_m, width=size.width_m, thickness=charged_m, staves=size.staves, stave=timber.stave_width,
        loss=timber.joint_loss, net=net, layers=part.layers, quantity=part.quantity,
    )  # fmt: skip
    item = item_name(part, timber)
    need = part_need("hardwood", part, "timber", {}, said, item=item, field="species", supplied=part.supplied)
    need = replace(need, unit=("bd ft", BOARD_FOOT_M3) if timber.sold_by == "bd ft" else ("m3", 1.0))
    other_joints = (
        name for name, one in shop.standard.items() if one.per == "joint" and name != part.joinery
    )
    planned = tables.yields.get(f"hardwood.{part.id}", ())
    yields = planned or (yield_of(part, shop, pick),)
    finished = outline * part.thickness * part.quantity
    needs = stock_needs(need, net * part.quantity, finished, "volume", yields)
    if timber.tally == "surface measure" and not planned:
        needs = (_tallied(needs[0], charged_m),)
    bought_m3 = total(one.amounts["volume"] for one in needs)
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
        setup_key=item,
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


def problems(part: Hardwood, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """What makes the part impossible to reckon."""
    path = f"hardwood.{part.id}"
    or_else = ", or describe it in the shop file: [species.<name>] density"
    yield from untabled(f"{path}.species", part.species, tables.species, or_else)
    if part.waste is not None and part.yield_ is not None:
        yield Problem.of(f"{path}.waste", "found waste and yield", "write one of them", "one_of")
    if part.yield_ is not None and not 0 < part.yield_.least <= part.yield_.most <= 1:
        yield Problem.of(
            f"{path}.yield",
            "found a yield outside 0 to 100 %",
            'write a yield such as "80 %"',
            "out_of_range",
        )
    if chosen_rough_m(part, TIMBER.of(shop)) is None:
        needed = needed_for_m(part, TIMBER.of(shop))
        found = f"found a part that needs stock of {needed * 1000:.4g} mm ({needed / INCH_M:.4g} in)"
        words = f"{found}, thicker than any size of [timber]"
        yield Problem.of(f"{path}.thickness", words, "write layers = 2, or another rough", "no_fit")
    yield from larger_shape(path, part)
    if part.joints and part.joinery not in shop.standard:
        yield unknown(f"{path}.joinery", part.joinery, shop.standard)


def doubts(part: Hardwood, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """What the maker should look at again."""
    path = f"hardwood.{part.id}"
    rough = chosen_rough_m(part, TIMBER.of(shop)) or 0.0
    needed = needed_for_m(part, TIMBER.of(shop))
    if rough < needed * (1 - TOLERANCE):
        words = "{rough:length} stock is thinner than the {needed:length} that {finished:length} finished needs with planing"
        numbers = {"rough": rough, "needed": needed, "finished": part.thickness / part.layers}
        yield doubt("thicker_than_stock", f"{path}.rough", words, **numbers)
    yield from scrap(path, part, shop, tables)
    yield from _odd_width(path, part, shop)
    if f"hardwood.{part.id}" in tables.yields:
        for field, own in (("waste", part.waste), ("yield", part.yield_)):
            if own is not None:
                words = "the cut plan says what is cut: this is not used"
                yield doubt("planned", f"{path}.{field}", words)


def _odd_width(path: str, part: Hardwood, shop: Shop) -> Iterator[Doubt]:
    """A board that hardly a yard has, and sizes that look exchanged: the length runs along the grain."""
    if part.glued_up:
        return
    if part.width > part.length * (1 + TOLERANCE):
        words = "{width:length} wide and {length:length} long, though the length runs along the grain: are they exchanged?"
        yield doubt("exchanged", f"{path}.width", words, width=part.width, length=part.length)
    elif part.width > shop.warnings.wide_board * TIMBER.of(shop).stave_width:
        words = "one board {width:length} wide, where your usual one has {usual:length}: write glued_up = true, or be sure to get it"
        yield doubt("wide_board", f"{path}.width", words, width=part.width, usual=TIMBER.of(shop).stave_width)


def shop_rules(shop: Shop) -> Iterator[Problem]:
    """Staves that are wider than their joints lose, and in order."""
    timber = TIMBER.of(shop)
    if timber.stave_least <= timber.joint_loss:
        yield Problem.of(
            "timber.stave_least", "found no more than a joint loses", "write a wider stave", "too_small"
        )
    if timber.stave_most < timber.stave_least:
        yield Problem.of(
            "timber.stave_most",
            "found less than stave_least",
            "write the widest stave of a panel",
            "too_small",
        )
    if timber.stave_width <= timber.joint_loss:
        yield Problem.of(
            "timber.stave_width", "found no more than joint_loss", "write the usual board width", "too_small"
        )
