"""Parts cut from sheet goods: by whole sheets or by area."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.needs import Doubt, Need, TakeOff, doubt, part_need
from quoting.takeoff.numbers import first, pair_m, total, whole_down, whole_up
from quoting.takeoff.stock import Blanks, CutGroup, Item, larger_shape, scrap, stock_needs
from quoting.trades.sheet import SHEETS
from quoting.values import Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.sheet.record import Sheet


def pieces_per_sheet(
    *, length_m: float, width_m: float, sheet_length_m: float, sheet_width_m: float, kerf_m: float
) -> float:
    """Pieces a sheet gives when all lie one way: floor((SL + k) / (l + k)) x floor((SW + k) / (w + k)).

    Adding the kerf to each piece and once to the sheet makes the count exact (algebra of kerf cuts).
    """
    along = whole_down((sheet_length_m + kerf_m) / (length_m + kerf_m))
    across = whole_down((sheet_width_m + kerf_m) / (width_m + kerf_m))
    return float(along * across)


def best_pieces(part: Sheet, kerf_m: float) -> float:
    """Pieces a sheet gives, turned the better way; with grain along the sheet's length only."""
    sides = {"sheet_length_m": part.sheet_length, "sheet_width_m": part.sheet_width, "kerf_m": kerf_m}
    straight = pieces_per_sheet(length_m=part.length, width_m=part.width, **sides)
    turned = pieces_per_sheet(length_m=part.width, width_m=part.length, **sides)
    return straight if part.grain else max(straight, turned)


def take_off(part: Sheet, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Sheets of a part: by the cut plan, else whole or by area of the sheet that it names."""
    need = part_need("sheet", part, "sheet", {}, basis(""), field="item", supplied=part.supplied)
    shape_m2 = (part.shape_area or part.length * part.width) * part.quantity
    planned = tables.yields.get(f"sheet.{part.id}", ())
    if planned:
        words = "{quantity:number} x {length:length} x {width:length}"
        need = replace(need, basis=basis(words, quantity=part.quantity, length=part.length, width=part.width))
        needs = stock_needs(need, part.quantity * part.length * part.width, shape_m2, "area", planned)
    else:
        needs = (_of_own_sheets(need, part, shape_m2, kerf_of(part, shop)),)
    return TakeOff(
        needs=needs,
        drivers={"part": part.quantity, "m2": 2 * part.length * part.width * part.quantity},
        facts={"sheets": total(one.amounts["count"] for one in needs)},
        mass_kg=shape_m2 * (part.mass_per_area or 0.0),
    )


def _of_own_sheets(need: Need, part: Sheet, shape_m2: float, kerf: float) -> Need:
    """Sheets of the size that the part names, by itself."""
    sheet_m2 = part.sheet_length * part.sheet_width
    pieces = best_pieces(part, kerf)
    sheets: Num = part.quantity * (part.length + kerf) * (part.width + kerf) / sheet_m2
    words = "{quantity:number} x ({length:length} + {kerf:length} kerf) x ({width:length} + kerf) of a sheet of {sheet:area}"
    if part.charge == "whole":
        sheets = whole_up(part.quantity / pieces)
        words = "{quantity:number} parts of {length:length} x {width:length}, {pieces:number} a sheet of {sheet_length:length} x {sheet_width:length} with {kerf:length} kerf"
    said = basis(
        words, quantity=part.quantity, length=part.length, width=part.width, kerf=kerf, sheet=sheet_m2, pieces=pieces,
        sheet_length=part.sheet_length, sheet_width=part.sheet_width,
    )  # fmt: skip
    amounts = {"count": sheets, "area": sheets * sheet_m2}
    return replace(need, amounts=amounts, basis=said, kept=shape_m2 / (sheets * sheet_m2))


def kerf_of(part: Sheet, shop: Shop) -> float:
    """What a cut takes [m]: the part's own, else the shop's."""
    return first(part.kerf, SHEETS.of(shop).kerf)


def problems(part: Sheet, shop: Shop, tables: Tables) -> Iterator[Problem]:
    """A part must come out of its sheet, or of one of the cut plan; a shape out of its blank."""
    if f"sheet.{part.id}" not in tables.yields and best_pieces(part, kerf_of(part, shop)) < 1:
        words = "found a part larger than its sheet" + (" along the grain" if part.grain else "")
        yield Problem.of(f"sheet.{part.id}.length", words, "write a larger sheet or a smaller part", "no_fit")
    yield from larger_shape(f"sheet.{part.id}", part)


def doubts(part: Sheet, shop: Shop, tables: Tables) -> Iterator[Doubt]:
    """A sheet of unknown mass makes the whole piece look lighter than it is; a shape throws some of its blank away."""
    yield from scrap(f"sheet.{part.id}", part, shop, tables)
    if part.mass_per_area is None:
        words = "no mass_per_area is given: {part} counts nothing in the mass of the piece"
        yield doubt("mass", f"sheet.{part.id}.mass_per_area", words, part=part.part)


def cut_from(part: Sheet, shop: Shop, tables: Tables) -> CutGroup | None:  # noqa: ARG001
    """What a part is cut from where sheets are listed; None for one that cannot be reckoned."""
    if not all(side > 0 for side in (part.length, part.width, part.sheet_length, part.sheet_width)):
        return None
    net = part.quantity * part.length * part.width
    kerf = kerf_of(part, shop)
    blanks = Blanks(
        f"sheet.{part.id}", part.part, part.length, part.width, part.quantity, net, turns=not part.grain,
        two_m=pair_m(part, kerf, 0.0),
    )  # fmt: skip
    trim = SHEETS.of(shop).trim
    return CutGroup(
        "sheet",
        part.item,
        Item("sheet", part.item, 0.0),
        kerf,
        (blanks,),
        lambda length, width, _rough: {"count": 1.0, "area": length * width},
        trim=(trim, trim),
        sizes=((part.sheet_length, part.sheet_width),),
        as_used=part.charge == "area",
    )
