"""Small metal parts cut from stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Problem, nearest, one_wanted
from quoting.takeoff.numbers import whole_down, whole_up
from quoting.takeoff.record import Need, TakeOff
from quoting.values import basis, key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.inputs.shop import Shop
    from quoting.inputs.tables import Tables
    from quoting.inputs.trades import Metal
    from quoting.values import Num, Pick


def pieces_per_bar(*, length_m: float, stock_m: float, kerf_m: float) -> float:
    """Pieces a bar gives: floor((stock + kerf) / (length + kerf))."""
    return float(whole_down((stock_m + kerf_m) / (length_m + kerf_m)))


def mass_per_length_kg_m(part: Metal, density_kg_m3: float) -> float:
    """Mass per length [kg/m]: given, or section area x density."""
    if part.mass_per_length is not None:
        return part.mass_per_length
    return part.section.area_m2 * density_kg_m3 if part.section is not None else 0.0


def take_off(part: Metal, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Stock to buy, by whole bars or by the cut length, and mass."""
    kerf = shop.metal.kerf if part.kerf is None else part.kerf
    stock = shop.metal.stock_length if part.stock_length is None else part.stock_length
    each = mass_per_length_kg_m(part, tables.metals[key(part.metal)].density_kg_m3)
    length: Num = part.quantity * (part.length + kerf)
    words = "{quantity:number} x ({length:length} + kerf {kerf:length})"
    amounts: dict[str, Num] = {}
    numbers: dict[str, object] = {
        "quantity": part.quantity,
        "length": part.length,
        "kerf": kerf,
        "each": each,
    }
    if part.charge == "whole":
        fit = pieces_per_bar(length_m=part.length, stock_m=stock, kerf_m=kerf)
        bars = whole_up(part.quantity / fit)
        amounts["count"] = bars
        length = bars * stock
        words = "{quantity:number} pieces of {length:length}, {fit:number} a bar of {stock:length}: {bars:number} bars"
        numbers |= {"fit": fit, "stock": stock, "bars": bars}
    net_kg = part.quantity * part.length * each
    return TakeOff(
        needs=(
            Need(
                id=f"metal.{part.id}.stock",
                trade="metal",
                part=part.part,
                kind="material",
                item=part.item,
                amounts={**amounts, "length": length, "mass": length * each},
                basis=basis(words + ", {each:mass_per_length}", **numbers),
                stage=part.stage or "bench",
                named_by=f"metal.{part.id}.item",
                supplied=part.supplied,
                kept=part.quantity * part.length / length,
            ),
        ),
        drivers={"part": part.quantity},
        facts={"metal_kg": net_kg},
        mass_kg=net_kg,
    )


def problems(part: Metal, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """A metal of the table, one statement of its section, a piece that fits its bar."""
    path = f"metal.{part.id}"
    if key(part.metal) not in tables.metals:
        yield Problem(
            f"{path}.metal",
            f'found "{part.metal}", not in the reference table',
            nearest(key(part.metal), tables.metals),
        )
    if (part.section is None) == (part.mass_per_length is None):
        given = int(part.section is not None) + int(part.mass_per_length is not None)
        words = f"{one_wanted(given)} of section and mass_per_length"
        yield Problem(f"{path}.section", words, "write one of them")
    stock = shop.metal.stock_length if part.stock_length is None else part.stock_length
    if not 0 < part.length <= stock:
        yield Problem(
            f"{path}.length", "found a piece of 0, or longer than its stock", "write a longer stock_length"
        )
