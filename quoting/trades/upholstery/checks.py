"""What makes upholstery impossible, and what casts doubt on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.needs import Doubt, doubt
from quoting.takeoff.numbers import TOLERANCE
from quoting.trades.upholstery import COVERING
from quoting.trades.upholstery.equations import density_of, pads_a_sheet
from quoting.trades.upholstery.rolls import Laid, laid, roll_m
from quoting.values import INCH_M, Num

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.upholstery.record import Upholstery, UpholsteryDefaults

RESTS_ON = {
    "foam": ("thickness", "foam_density", "foam_waste", "sheet_length", "sheet_width", "foam_supplied"),
    "webbing": ("webbing_along", "webbing_across"),
}
"""Items, and fields that say nothing without them."""

BOUGHT = "bought"  # how foam is supplied where nothing is said of it

DIVIDING = ("foam_density", "webbing_along", "webbing_across")
"""Fields that may not be 0, beside the sizes that no part may have so."""

WIDEST_M = 3.4
"""Width of a roll beyond which a typing slip is likelier: no cloth for curtains is wider (common practice, no source)."""

POUND_FT3 = 0.45359237 / 0.3048**3  # kg/m3, exact by definition (NIST SP 811)


def problems(part: Upholstery, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """Covers must come out of their roll and pads out of their sheet, and nothing may be written that is not reckoned with."""
    path, own = f"upholstery.{part.id}", COVERING.of(shop)
    yield from _idle(path, part)
    for name in DIVIDING:
        if getattr(part, name) == 0:
            yield Problem.of(f"{path}.{name}", "found 0", "write it above zero, or leave it out", "zero")
    if part.foam and part.thickness is None:
        yield Problem.of(
            f"{path}.thickness", "found foam without its thickness", 'write thickness = "2 in"', "missing"
        )
    if not part.foam and part.wrap is None:
        found = "found neither foam nor wrap: what is turned over the edge is not known"
        yield Problem.of(f"{path}.wrap", found, 'write wrap = "3 in", or foam and its thickness', "missing")
    if part.foam and (part.sheet_length is None) != (part.sheet_width is None):
        missing = "sheet_length" if part.sheet_length is None else "sheet_width"
        yield Problem.of(
            f"{path}.{missing}",
            "found one side of a sheet of foam",
            "write both sides, or neither",
            "missing",
        )
    elif part.sheet_length is not None and pads_a_sheet(part) < 1:
        wanted = "write a larger sheet, or leave its sides out for foam that is cut to size"
        yield Problem.of(
            f"{path}.sheet_length", "found a pad larger than its sheet of foam", wanted, "no_fit"
        )
    if flat := [one.name for one in part.cover if not one.length or not one.width]:
        found = f'found a piece "{flat[0]}" with a side of 0'
        yield Problem.of(f"{path}.cover", found, "write its sides above zero", "zero")
    else:
        yield from _too_wide(path, part, own)


def _idle(path: str, part: Upholstery) -> Iterator[Problem]:
    """Fields that would vanish unseen, for the item that they are of is not named."""
    for item, those in RESTS_ON.items():
        for name in those:
            if not getattr(part, item) and getattr(part, name) not in (None, BOUGHT):
                yield Problem.of(f"{path}.{name}", f"found {name} without {item}", f'write {item} = "...", or leave it out', "missing", name=name, item=item)  # fmt: skip


def _too_wide(path: str, part: Upholstery, own: UpholsteryDefaults) -> Iterator[Problem]:
    """Pieces that are wider than the roll the way they lie, and what to write: turned they may fit."""
    if roll_m(part, own) < part.repeat_across * (1 - TOLERANCE):
        found = f"found a repeat of {_mm(part.repeat_across)} across a roll of {_mm(roll_m(part, own))}"
        yield Problem.of(
            f"{path}.repeat_across", found, "write the repeat along the roll as repeat_along", "no_fit"
        )
        return
    wide = [one for one in laid(part, own, part.railroaded) if one.side_by_side < 1]
    if not wide:
        return
    turned = "false" if part.railroaded else "true"
    fits = all(one.side_by_side >= 1 for one in laid(part, own, not part.railroaded))
    write = f"write railroaded = {turned}" if fits else "write a wider roll_width, or seam it: smaller size, and the rest in cover"  # fmt: skip
    found = f"found a cover of {_mm(wide[0].across_m)} across a roll of {_mm(roll_m(part, own))}"
    yield Problem.of(f"{path}.railroaded" if part.railroaded else f"{path}.width", found, write, "no_fit")


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.4g} mm ({length_m / INCH_M:.4g} in)"


def doubts(part: Upholstery, shop: Shop, tables: Tables) -> Iterator[Doubt]:  # noqa: ARG001
    """Foam too light to sit on for long, and covers that would take less fabric the other way."""
    path, own = f"upholstery.{part.id}", COVERING.of(shop)
    density = density_of(part, own)
    if part.foam and part.use == "seat" and density < own.least_density * (1 - TOLERANCE):
        words = "foam of {density:number} kg/m3 ({pounds:number} lb/ft3) soon stays flat under a seat: {least:number} kg/m3 ({least_pounds:number} lb/ft3) or more is usual"
        pounds, least_pounds = density / POUND_FT3, own.least_density / POUND_FT3
        numbers = {
            "density": density,
            "pounds": pounds,
            "least": own.least_density,
            "least_pounds": least_pounds,
        }
        yield doubt("foam_density", f"{path}.foam_density", words, **numbers)
    if (width := roll_m(part, own)) > WIDEST_M:
        words = "a roll of {width:length} is wider than any cloth is sold: look at its unit"
        yield doubt("wide_roll", f"{path}.roll_width", words, width=width)
    now, turned = laid(part, own, part.railroaded), laid(part, own, not part.railroaded)
    if all(one.side_by_side >= 1 for one in turned) and _run_m(turned) < _run_m(now) * (1 - TOLERANCE):
        ways = ("up the roll", "railroaded")
        words = "laid {way} the covers take {now:length} of fabric, {other} {turned:length}: if the pattern may lie so, write railroaded = {write}"
        way, other, write = (*ways[::-1], "false") if part.railroaded else (*ways, "true")
        lengths = {"now": _run_m(now), "turned": _run_m(turned)}
        yield doubt("railroading", f"{path}.railroaded", words, way=way, other=other, write=write, **lengths)


def _run_m(pieces: list[Laid]) -> Num:
    return sum(one.length_m for one in pieces)


def shop_rules(shop: Shop) -> Iterator[Problem]:
    """Sizes that divide, and what is weighed, are above zero."""
    own = COVERING.of(shop)
    for name in ("roll_width", "foam_density", "webbing_spacing"):
        if getattr(own, name) <= 0:
            yield Problem.of(f"upholstery.{name}", "found 0", "write it above zero", "zero")
