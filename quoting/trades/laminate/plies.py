"""A laminate's plies: cured thickness, fibre, sheets, and how many plies a panel takes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from quoting.takeoff.numbers import whole_down, whole_up
from quoting.trades.laminate import LAMINATES, PLY
from quoting.values import Num, Uncertain, key

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.trades.laminate.record import Laminate, TrialStrip


class Layout(NamedTuple):
    """How one ply covers the lay-up: pieces along and across, their area [m2], what lies in the panel [m2].

    `in_panel_m2` counts overlaps twice; `strip_m` is the length of roll cut at once, 0 for cut
    sheets. Where a roll is wide enough for several plies abreast, one length of it gives them all;
    `sheet_m2` is then a ply's part of that length.
    """

    pieces: float
    sheet_m2: float
    in_panel_m2: float
    strip_m: float = 0.0
    abreast: float = 1.0


def fitted_thickness(strips: tuple[TrialStrip, ...], spread: float, name: str) -> Uncertain:
    """Cured ply thickness from measured strips [m], with a range of `spread` standard errors each way.

    Least squares through the origin: t = sum(n T) / sum(n^2); standard error
    sqrt(sum((T - n t)^2) / (m - 1) / sum(n^2)) for m strips. One strip tells no spread.
    """
    squares = sum(strip.plies**2 for strip in strips)
    thickness = sum(strip.plies * strip.thickness for strip in strips) / squares
    if len(strips) < 2:
        return Uncertain(thickness, thickness, thickness, name)
    residual = sum((strip.thickness - strip.plies * thickness) ** 2 for strip in strips)
    error = math.sqrt(residual / (len(strips) - 1) / squares)
    reach = min(spread * error, thickness / 2)  # a fit so poor still leaves a ply some thickness
    return Uncertain(thickness - reach, thickness, thickness + reach, name)


def ply_thickness(part: Laminate, shop: Shop) -> Uncertain | None:
    """Cured thickness of one ply [m]: given, fitted to trial strips, or what the shop knows of its first kind of ply."""
    if part.ply_thickness is not None:
        return part.ply_thickness
    if part.trial:
        return fitted_thickness(part.trial, LAMINATES.of(shop).trial_spread, f"laminate.{part.id}.trial")
    return next((own.thickness for name, own in PLY.of(shop).items() if key(name) == key(part.ply[0])), None)


def sheets_along(*, length_m: float, sheet_m: float, overlap_m: float) -> float:
    """Sheets that cover a length: (length - overlap) / (sheet - overlap), rounded up, at least one."""
    return float(max(whole_up((length_m - overlap_m) / (sheet_m - overlap_m)), 1.0))


def layout(part: Laminate, *, length_m: float, width_m: float) -> Layout:
    """The layout of one ply with the fewest pieces, over both ways of turning the sheet or the roll."""
    o = part.overlap
    if part.roll_width is not None:
        ways = (
            (sheets_along(length_m=side, sheet_m=part.roll_width, overlap_m=o), run, side)
            for run, side in ((length_m, width_m), (width_m, length_m))
        )
        strips, run_m, side_m = min(ways, key=lambda one: (one[0], one[0] * one[1]))
        covered = run_m * (side_m + (strips - 1) * o)
        abreast = max(float(whole_down(part.roll_width / side_m)), 1.0)
        strip_m = strips * run_m
        return Layout(strips, strip_m * part.roll_width / abreast, covered, strip_m, abreast)
    sides = (part.sheet_length or 0.0, part.sheet_width or 0.0)
    turned = []
    for sheet_l, sheet_w in (sides, sides[::-1]):
        k_l = sheets_along(length_m=length_m, sheet_m=sheet_l, overlap_m=o)
        k_w = sheets_along(length_m=width_m, sheet_m=sheet_w, overlap_m=o)
        covered = (length_m + (k_l - 1) * o) * (width_m + (k_w - 1) * o)
        turned.append(Layout(k_l * k_w, k_l * k_w * sheet_l * sheet_w, covered))
    return min(turned, key=lambda one: one.pieces)


def fibre_mass_kg_m2(*, ply_mass_kg_m2: float, in_panel_m2: float, area_m2: float) -> float:
    """Fibre in the panel per area and ply [kg/m2]: ply mass x area in the panel / area, overlaps counted twice."""
    return ply_mass_kg_m2 * in_panel_m2 / area_m2


def fibre_fraction(*, fibre_kg_m2: Num, density_kg_m3: float, ply_thickness_m: Num) -> Num:
    """Share of a cured ply that is fibre: fibre mass per area / (density of the fibre x ply thickness).

    From t = n A_w / (rho_f V_f), composites textbooks.
    """
    return fibre_kg_m2 / (density_kg_m3 * ply_thickness_m)


def plies_needed(*, thickness_m: Num, removed_m: Num, ply_thickness_m: Num, block: int) -> Num:
    """Plies for a finished thickness: (thickness + what flattening takes) / ply thickness, rounded up to whole blocks."""
    plies = whole_up((thickness_m + removed_m) / ply_thickness_m)
    return whole_up(plies / block) * block


def plies_of_item(*, plies: Num, block: int, position: int, items: int) -> Num:
    """Plies of each item where a panel is laid from several, block by block in turn.

    Shapes: those of the `position`-th of `items` among the first `plies`.
    """
    turns = whole_down(plies / (block * items))
    return turns * block + np.clip(plies - (turns * items + position) * block, 0.0, block)


def rough(part: Laminate, shop: Shop, planned: bool) -> tuple[tuple[float, ...], int, int]:  # noqa: ARG001
    """A panel before it is trimmed [m], of one stave and one layer."""
    trim = 2 * LAMINATES.of(shop).trim
    return (part.length + trim, part.width + trim), 1, 1
