"""Seats and pads: fabric by running length, foam by volume, webbing by its bands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.takeoff.needs import Need, TakeOff, part_need
from quoting.takeoff.numbers import first, total, whole_up
from quoting.trades.upholstery import COVERING
from quoting.trades.upholstery.rolls import laid, roll_m, side_by_side
from quoting.values import INCH_M, Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.upholstery.record import Upholstery, UpholsteryDefaults

YARD_M = 36 * INCH_M


def foam_m3(*, length_m: Num, width_m: Num, thickness_m: Num) -> Num:
    """Foam of one pad [m3]: length x width x thickness."""
    return length_m * width_m * thickness_m


def foam_kg(*, volume_m3: Num, density_kg_m3: Num) -> Num:
    """Mass of foam [kg]: volume x density."""
    return volume_m3 * density_kg_m3


def webbing_m(*, side_m: Num, band_m: Num, spacing_m: Num, ends_m: Num) -> Num:
    """Webbing of the bands that run one way over a seat [m]: ceil(side / spacing) x (length of a band + its ends).

    Bands are no further apart than the spacing, middle to middle, with half of it at each edge. The ends are what is folded over, and
    held while a band is stretched (upholsterers' practice, no source).
    """
    return whole_up(side_m / spacing_m) * (band_m + ends_m)


def wadding_m2(*, length_m: Num, width_m: Num, thickness_m: Num) -> Num:
    """Wadding over the top and the four sides of a pad [m2]: (length + 2 x thickness) x (width + 2 x thickness)."""
    return (length_m + 2 * thickness_m) * (width_m + 2 * thickness_m)


def take_off(part: Upholstery, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Materials, hours and mass of seats. Webbing, wadding and dust cover weigh too little to be counted."""
    own = COVERING.of(shop)
    covers_m2: Num = sum(one.pieces * one.along_m * one.across_m for one in laid(part, own, False))
    fabric = _fabric(part, shop, pick, covers_m2)
    webbing = _webbing(part, own)
    per_area = own.mass_per_area if part.mass_per_area is None else part.mass_per_area
    foam = foam_kg(volume_m3=_pads_m3(part), density_kg_m3=density_of(part, own))
    return TakeOff(
        needs=(fabric, *_foam(part, own, pick), *webbing, *_linings(part)),
        drivers={"seat": part.quantity},
        facts={
            "fabric_m": fabric.amounts["length"],
            "foam_kg": foam,
            "webbing_m": total(one.amounts["length"] for one in webbing),
        },
        mass_kg=foam + covers_m2 * per_area,
    )


def density_of(part: Upholstery, own: UpholsteryDefaults) -> float:
    """Density of the foam [kg/m3]: the part's own, else the shop's."""
    return own.foam_density if part.foam_density is None else part.foam_density


def pads_a_sheet(part: Upholstery) -> Num:
    """Pads that a sheet of foam gives, turned the better way; none where the part names no sheet."""
    if part.sheet_length is None or part.sheet_width is None:
        return 0.0
    ways = (
        side_by_side(roll_m=part.sheet_length, piece_m=one, repeat_m=0.0)
        * side_by_side(roll_m=part.sheet_width, piece_m=other, repeat_m=0.0)
        for one, other in ((part.length, part.width), (part.width, part.length))
    )
    return max(ways)


def _pads_m3(part: Upholstery) -> Num:
    """Foam of all pads as they are finished [m3]; none without a thickness."""
    return part.quantity * foam_m3(
        length_m=part.length, width_m=part.width, thickness_m=part.thickness or 0.0
    )


def _fabric(part: Upholstery, shop: Shop, pick: Pick, covers_m2: Num) -> Need:
    """Fabric by its running length, waste included: metres, or yards in a shop of inches."""
    own = COVERING.of(shop)
    seats, *others = laid(part, own, part.railroaded)
    more, beside = total(one.length_m for one in others), sum(one.beside for one in others)
    run = seats.length_m + more
    waste = pick(first(part.waste, own.waste))
    bought, width = run * (1 + waste), roll_m(part, own)
    words = "{seats:number} of {along_roll:length} along the roll x {across_roll:length}, {side_by_side:number} side by side in {roll_width:length}"
    words += ", rows {rows_apart:length} apart"
    words += "; {other_pieces:length} for other pieces" if others and more else ""
    words += "; {beside:number} other pieces from what is left beside" if beside else ""
    words += ": {running_length:length} x (1 + waste {waste:share})"
    numbers = {
        "seats": seats.pieces, "along_roll": seats.along_m, "across_roll": seats.across_m, "side_by_side": seats.side_by_side,
        "roll_width": width, "rows_apart": seats.row_m, "other_pieces": more, "running_length": run, "waste": waste,
    } | ({"beside": beside} if beside else {})  # fmt: skip
    amounts, kept = {"length": bought, "area": bought * width}, covers_m2 / (bought * width)
    unit = ("yd", YARD_M) if shop.shop.units == "inch" else ("m", 1.0)
    said = basis(words, **numbers)
    return part_need(
        "upholstery", part, "fabric", amounts, said, kept=kept, supplied=part.supplied, unit=unit
    )


def _foam(part: Upholstery, own: UpholsteryDefaults, pick: Pick) -> Iterator[Need]:
    """Foam by volume with its waste, or by whole sheets where the part names their size."""
    if not part.foam or part.thickness is None:
        return
    pads = _pads_m3(part)
    numbers: dict[str, object] = {
        "pads": part.quantity, "length": part.length, "width": part.width, "thickness": part.thickness
    }  # fmt: skip
    words = "{pads:number} of {length:length} x {width:length} x {thickness:length}"
    if part.sheet_length is not None and part.sheet_width is not None:
        fit = pads_a_sheet(part)
        count = whole_up(part.quantity / fit)
        volume = count * part.sheet_length * part.sheet_width * part.thickness
        words += ", {pads_a_sheet:number} a sheet of {sheet_length:length} x {sheet_width:length}: {sheets:number} sheets"
        numbers |= {"pads_a_sheet": fit, "sheets": count, "sheet_length": part.sheet_length, "sheet_width": part.sheet_width}  # fmt: skip
    else:
        waste = pick(first(part.foam_waste, own.foam_waste))
        count, volume = part.quantity, pads * (1 + waste)
        words += " x (1 + waste {waste:share} of the volume)"
        numbers["waste"] = waste
    mass = foam_kg(volume_m3=volume, density_kg_m3=density_of(part, own))
    amounts = {"count": count, "volume": volume, "area": volume / part.thickness, "mass": mass}
    said, kept = basis(words, **numbers), pads / volume
    yield part_need("upholstery", part, "foam", amounts, said, kept=kept, supplied=part.foam_supplied)


def _webbing(part: Upholstery, own: UpholsteryDefaults) -> list[Need]:
    """Bands both ways at the shop's spacing; at the part's own spacings where it gives any, and no other way."""
    if not part.webbing:
        return []
    along, across = part.webbing_along, part.webbing_across
    if along is None and across is None:
        along = across = own.webbing_spacing
    ways = (("along", along, part.width, part.length), ("across", across, part.length, part.width))
    words, bands = list[str](), list[Num]()
    numbers: dict[str, object] = {"seats": part.quantity, "ends": own.webbing_ends}
    for way, spacing, side, band in ways:
        if spacing is not None:
            bands.append(webbing_m(side_m=side, band_m=band, spacing_m=spacing, ends_m=own.webbing_ends))
            words.append(
                f"{{bands_{way}:number}} {way} x ({{band_{way}:length}} + {{ends:length}} for the ends)"
            )
            numbers |= {f"bands_{way}": whole_up(side / spacing), f"band_{way}": band}
    said = basis(f"{{seats:number}} x ({' + '.join(words)})", **numbers)
    return [part_need("upholstery", part, "webbing", {"length": part.quantity * total(bands)}, said)]


def _linings(part: Upholstery) -> Iterator[Need]:
    """Wadding between foam and cover, and the cloth below a seat."""
    sizes = {"length": part.length, "width": part.width}
    if part.wadding:
        thick = part.thickness or 0.0
        each = wadding_m2(length_m=part.length, width_m=part.width, thickness_m=thick)
        words = "{seats:number} x ({length:length} + 2 x {thickness:length}) x ({width:length} + 2 x {thickness:length})"
        said = basis(words, seats=part.quantity, thickness=thick, **sizes)
        yield part_need("upholstery", part, "wadding", {"area": part.quantity * each}, said)
    if part.dust_cover:
        said = basis("{seats:number} x {length:length} x {width:length}", seats=part.quantity, **sizes)
        area = part.quantity * part.length * part.width
        yield part_need("upholstery", part, "dust_cover", {"area": area}, said)
