"""Solid timber: from finished sizes to boards bought."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.errors import Problem, nearest
from quoting.takeoff.numbers import TOLERANCE, first, whole_down, whole_up
from quoting.takeoff.record import Doubt, Need, TakeOff
from quoting.values import BOARD_FOOT_M3, INCH_M, SQUARE_FOOT_M2, Basis, basis, key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.shop import Shop
    from quoting.inputs.standards import Timber
    from quoting.inputs.tables import Tables
    from quoting.inputs.trades import Hardwood
    from quoting.values import Num, Pick


class Yield(NamedTuple):
    """What must be bought for one of what is needed, and how that is known.

    A waste, a yield, or (later) a cut plan: take-off is told only the factor.
    """

    factor: Num
    words: Basis


class Blank(NamedTuple):
    """The rough size a part is cut from: `width_m` is bought width, staves and their joints included."""

    length_m: float
    width_m: float
    thickness_m: float
    staves: float


def needed_rough_m(*, thickness_m: float, layers: int, planing_m: float) -> float:
    """Thickness a board must have before planing [m]: one layer's share plus the planing allowance."""
    return thickness_m / layers + planing_m


def chosen_rough_m(part: Hardwood, timber: Timber) -> float | None:
    """The rough thickness given, or the smallest the shop keeps that is enough; None if none is."""
    if part.rough is not None:
        return part.rough
    needed = needed_rough_m(
        thickness_m=part.thickness, layers=part.layers, planing_m=timber.planing_allowance
    )
    return min((size for size in timber.sizes if size >= needed * (1 - TOLERANCE)), default=None)


def rough_name(thickness_m: float) -> str:
    """A rough thickness as the price book names it: quarters where it is a whole number of them."""
    quarters = thickness_m / (INCH_M / 4)
    whole = round(quarters)
    return f"{whole}/4" if abs(quarters - whole) < 1e-6 else f"{thickness_m * 1000:g} mm"


def item_name(part: Hardwood, timber: Timber) -> str:
    """The price-book item of a part: species and rough thickness."""
    return f"{part.species} {rough_name(chosen_rough_m(part, timber) or 0.0)}"


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


def yield_of(part: Hardwood, timber: Timber, pick: Pick) -> Yield:
    """What is bought for one of what is needed: 1 + waste, or 1 / yield."""
    if part.yield_ is not None:
        share = pick(part.yield_)
        return Yield(1 / share, basis("/ yield {share:share}", share=share))
    usual = timber.waste_matched if part.figure == "matched" else timber.waste
    waste = pick(first(part.waste, usual))
    return Yield(1 + waste, basis("x (1 + waste {waste:share})", waste=waste))


def take_off(part: Hardwood, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:
    """Boards to buy for a part, its mass and the work it drives."""
    timber = shop.timber
    size = blank(part, timber)
    charged_m = charged_thickness_m(rough_m=size.thickness_m, timber=timber)
    net = net_m3(length_m=size.length_m, width_m=size.width_m, thickness_m=charged_m) * part.layers
    bought_for = yield_of(part, timber, pick)
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


def density_at(density_12_kg_m3: float, moisture: float) -> float:
    """Density at a moisture content [kg/m3]: 1000 G (1 + M), G held at its value for 12 %.

    USDA Wood Handbook (FPL-GTR-282), Eq. 4-14.
    """
    return density_12_kg_m3 / 1.12 * (1 + moisture)


def problems(part: Hardwood, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """What makes the part impossible to reckon."""
    path = f"hardwood.{part.id}"
    if key(part.species) not in tables.species:
        yield Problem(
            f"{path}.species",
            f'found "{part.species}", not in the reference table',
            nearest(key(part.species), tables.species)
            + ", or describe it in the shop file: [species.<name>] density",
        )
    if part.waste is not None and part.yield_ is not None:
        yield Problem(f"{path}.waste", "found waste and yield", "write one of them")
    if part.yield_ is not None and not 0 < part.yield_.least <= part.yield_.most <= 1:
        yield Problem(f"{path}.yield", "found a yield outside 0 to 100 %", 'write a yield such as "80 %"')
    if chosen_rough_m(part, shop.timber) is None:
        needed = needed_rough_m(
            thickness_m=part.thickness, layers=part.layers, planing_m=shop.timber.planing_allowance
        )
        yield Problem(
            f"{path}.thickness",
            f"found a part that needs stock of {needed * 1000:.4g} mm ({needed / INCH_M:.4g} in), thicker than any size of [timber]",
            "write layers = 2, or another rough",
        )
    if part.shape_area is not None and part.shape_area > part.length * part.width * (1 + TOLERANCE):
        yield Problem(
            f"{path}.shape_area", "found more than length x width", "write the area of the finished outline"
        )
    if part.joints and part.joinery not in shop.standard:
        yield Problem(f"{path}.joinery", f'found "{part.joinery}"', nearest(part.joinery, shop.standard))


def doubts(part: Hardwood, shop: Shop) -> Iterator[Doubt]:
    """What the maker should look at again."""
    path = f"hardwood.{part.id}"
    rough = chosen_rough_m(part, shop.timber) or 0.0
    needed = needed_rough_m(
        thickness_m=part.thickness, layers=part.layers, planing_m=shop.timber.planing_allowance
    )
    if rough < needed * (1 - TOLERANCE):
        yield Doubt(
            "thicker_than_stock",
            f"{path}.rough",
            basis(
                "{rough:length} stock is thinner than the {needed:length} that {finished:length} finished needs with planing",
                rough=rough,
                needed=needed,
                finished=part.thickness / part.layers,
            ),
        )
    if part.shape_area is not None:
        left = 1 - part.shape_area / (part.length * part.width)
        if left > shop.warnings.scrap_share:
            yield Doubt(
                "scrap",
                f"{path}.shape_area",
                basis(
                    "the shape leaves {left:share} of its blank (limit {limit:share})",
                    left=left,
                    limit=shop.warnings.scrap_share,
                ),
            )
