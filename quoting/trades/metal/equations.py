"""Small metal parts cut from stock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem, one_wanted
from quoting.takeoff.needs import Need, TakeOff, part_need, untabled
from quoting.takeoff.numbers import first, whole_down, whole_up
from quoting.takeoff.stock import Blanks, CutGroup, Item, stock_needs
from quoting.trades.metal import METALS
from quoting.values import Num, Pick, basis, key

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.metal.record import Metal


def pieces_per_bar(*, length_m: float, stock_m: float, kerf_m: float) -> float:
    """Pieces a bar gives: floor((stock + kerf) / (length + kerf))."""
    return float(whole_down((stock_m + kerf_m) / (length_m + kerf_m)))


def mass_per_length_kg_m(part: Metal, density_kg_m3: float) -> float:
    """Mass per length [kg/m]: given, or section area x density."""
    if part.mass_per_length is not None:
        return part.mass_per_length
    return part.section.area_m2 * density_kg_m3 if part.section is not None else 0.0


def take_off(part: Metal, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Stock to buy, by the cut plan, else by whole bars or by the cut length; and mass."""
    each = mass_per_length_kg_m(part, tables.metals[key(part.metal)].density_kg_m3)
    need = part_need("metal", part, "stock", {}, basis(""), field="item", supplied=part.supplied)
    net_m = part.quantity * part.length
    planned = tables.yields.get(f"metal.{part.id}", ())
    if planned:
        words = "{quantity:number} x {length:length}, {each:mass_per_length}"
        need = replace(need, basis=basis(words, quantity=part.quantity, length=part.length, each=each))
        needs = stock_needs(need, net_m, net_m, "length", planned)
    else:
        needs = (_of_own_stock(need, part, shop, each),)
    return TakeOff(
        needs=needs, drivers={"part": part.quantity}, facts={"metal_kg": net_m * each}, mass_kg=net_m * each
    )


def _of_own_stock(need: Need, part: Metal, shop: Shop, each: float) -> Need:
    """Bars of the length that the part names, by itself."""
    kerf, stock = kerf_of(part, shop), stock_of(part, shop)
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
    return replace(
        need,
        amounts={**amounts, "length": length, "mass": length * each},
        basis=basis(words + ", {each:mass_per_length}", **numbers),
        kept=part.quantity * part.length / length,
    )


def kerf_of(part: Metal, shop: Shop) -> float:
    """What a cut takes [m]: the part's own, else the shop's."""
    return first(part.kerf, METALS.of(shop).kerf)


def stock_of(part: Metal, shop: Shop) -> float:
    """The length of a bar [m]: the part's own, else the shop's."""
    return first(part.stock_length, METALS.of(shop).stock_length)


def problems(part: Metal, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """A metal of the table, one statement of its section, a piece that fits its bar."""
    path = f"metal.{part.id}"
    yield from untabled(f"{path}.metal", part.metal, tables.metals)
    if (part.section is None) == (part.mass_per_length is None):
        given = int(part.section is not None) + int(part.mass_per_length is not None)
        words = f"{one_wanted(given)} of section and mass_per_length"
        yield Problem.of(f"{path}.section", words, "write one of them", "one_of")
    if not 0 < part.length <= stock_of(part, shop) and path not in tables.yields:
        yield Problem.of(
            f"{path}.length",
            "found a piece of 0, or longer than its stock",
            "write a longer stock_length",
            "no_fit",
        )


def cut_from(part: Metal, shop: Shop, tables: Tables) -> CutGroup | None:
    """What a part is cut from where bars are listed; None for one that cannot be reckoned."""
    if not (part.length > 0 and stock_of(part, shop) > 0) or key(part.metal) not in tables.metals:
        return None
    blanks = Blanks(
        f"metal.{part.id}", part.part, part.length, 0.0, part.quantity, part.quantity * part.length
    )
    each = mass_per_length_kg_m(part, tables.metals[key(part.metal)].density_kg_m3)
    return CutGroup(
        "metal",
        part.item,
        Item("bar", part.item, 0.0),
        kerf_of(part, shop),
        (blanks,),
        lambda length, _width, _rough: {"count": 1.0, "length": length, "mass": length * each},
        sizes=((stock_of(part, shop), 0.0),),
        as_used=part.charge == "cut",
        weights=frozenset({round(each, 6)}),
    )
