"""Bagging rounds as they go: plies, hours, resin and film of each, by the trade's equations as plain arithmetic."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from simulation.spec import one
from simulation.truths import ROUND_TASKS

if TYPE_CHECKING:
    from simulation.spec import Spec
    from simulation.truths import Noise

FIBRE_KG_M3 = 1300.0  # jute: npj Materials Degradation 2022, Table 3, as the table of fibres cites it
LITRES = 1000.0  # of a cubic metre


class Pressing(NamedTuple):
    """A round: plies laid in all, hours by task [h], resin [L], film [m2], thickness as measured at its end [m]."""

    laid: int
    hours: dict[str, float]
    resin: float
    film: float
    measured: float


def laid_up(spec: Spec) -> tuple[float, float]:
    """Length and width of the slab as it is laid up [m]."""
    slab, trim = spec.job["laminate"][0], one(spec.shop["laminate"]["trim"])
    return one(slab["length"]) + 2 * trim, one(slab["width"]) + 2 * trim


def plies_needed(spec: Spec, true: dict[str, float]) -> int:
    """Plies until the slab is as thick as wanted once it is flattened: (thickness + removed) / ply, rounded up."""
    return math.ceil((one(spec.job["laminate"][0]["thickness"]) + true["removes"]) / true["ply"] - 1e-9)


def pressed(spec: Spec, true: dict[str, float], noise: Noise) -> list[Pressing]:
    """All rounds of the slab: full ones, and a last one with what is left."""
    each, needed = spec.job["laminate"][0]["plies_per_round"], plies_needed(spec, true)
    tops = [*range(each, needed, each), needed]
    return [
        _round(spec, true, noise, number, top, top - below)
        for number, (below, top) in enumerate(zip([0, *tops], tops, strict=False), start=1)
    ]


def _round(spec: Spec, true: dict[str, float], noise: Noise, number: int, laid: int, plies: int) -> Pressing:
    litres = _litres(spec, true, plies) * noise.used()
    resin = spec.shop["resin"][spec.job["laminate"][0]["resin"]]
    mixes = math.ceil(litres / one(resin["most_in_one_mix"]) - 1e-9)
    slower = number ** math.log2(
        true["learning"]
    )  # every doubling of rounds takes the same share of the time
    plain = {"laying": plies * true["time_per_ply"] * slower, "mixing": mixes * true["mixing"]}
    plain |= {task: true[task] for task in ROUND_TASKS}
    hours = {task: time * true["pace"] * noise.hours() for task, time in plain.items()}
    height = laid * true["ply"]
    return Pressing(laid, hours, litres, _film(spec, height), height + noise.thickness())


def _litres(spec: Spec, true: dict[str, float], plies: int) -> float:
    """Mixed resin [L]: what fibre leaves free in the plies, what wets sheet beyond the slab, what bleeds; cups keep some."""
    slab, (length, width) = spec.job["laminate"][0], laid_up(spec)
    area = length * width
    free = max(true["ply"] - one(slab["ply_mass"]) / FIBRE_KG_M3, 0.0)
    outside = one(slab["sheet_length"]) * one(slab["sheet_width"]) - area
    wet = true["wet_out"] * outside / one(spec.shop["resin"][slab["resin"]]["density"])
    return (plies * (area * free * LITRES + wet) + area * true["bleed"]) / (1 - true["mixing_loss"])


def _film(spec: Spec, height: float) -> float:
    """Film of a bag over a slab so high [m2]: margins, both sides, pleats shared by two directions, and beyond the tape."""
    bag, (length, width) = spec.shop["bagging"], laid_up(spec)
    around = (
        2 * one(bag["margin"])
        + 2 * height
        + bag["pleats"] * one(bag["pleat_height"]) / 2
        + 2 * one(bag["beyond"])
    )
    return (length + around) * (width + around)
