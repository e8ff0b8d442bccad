"""Builds of a ledge, played from hidden truths to their end: nothing of the tool's own model is used here.

The equations are those of the trade as the shop template tells them, written again as plain arithmetic on floats.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from simulation.rounds import laid_up, pressed
from simulation.spec import one

if TYPE_CHECKING:
    from simulation.rounds import Pressing
    from simulation.spec import Spec
    from simulation.truths import Hidden

FROM_THE_YARD = "european beech 27 mm"  # all else comes from the composites dealer


class Setback(NamedTuple):
    """What a setback took: hours [h] and money, after which round; None where it came later."""

    hours: float
    cost: float
    after: int | None


class Played(NamedTuple):
    """A build from its first round to its hand-over: hours by task [h], materials by item, and what it has cost [money]."""

    rounds: list[Pressing]
    hours: dict[str, float]
    material: dict[str, float]
    setback: Setback
    cost: float


def played(spec: Spec, hidden: Hidden) -> Played:
    """A build to its end."""
    rounds = pressed(spec, hidden.true, hidden.noise)
    material, hours = _material(spec, hidden.true, rounds), _hours(spec, hidden.true)
    setback = Setback(
        hidden.mishap * hidden.true["setback_hours"] * hidden.true["pace"],
        hidden.mishap * hidden.true["setback_cost"],
        _after(rounds, hours, hidden.mishap_at) if hidden.mishap else None,
    )
    worked = sum(hours.values()) + sum(sum(each.hours.values()) for each in rounds) + setback.hours
    cost = _cost(spec, hidden.true, material, worked) + setback.cost
    return Played(rounds, hours, material, setback, cost)


def _rim(spec: Spec) -> tuple[float, float, float]:
    """Cubic metres of rough boards in the rim [m3], its faces [m2], its parts."""
    rim, timber = spec.job["hardwood"][0], spec.shop["timber"]
    long, wide, thick = (one(rim[side]) for side in ("length", "width", "thickness"))
    rough = (long + one(timber["length_allowance"])) * (wide + one(timber["width_allowance"]))
    faces = 2 * long * wide + 2 * (long + wide) * thick
    return rough * one(rim["rough"]) * rim["quantity"], faces * rim["quantity"], rim["quantity"]


def _material(spec: Spec, true: dict[str, float], rounds: list[Pressing]) -> dict[str, float]:
    bag, (length, width), count = spec.shop["bagging"], laid_up(spec), len(rounds)
    peel, breather = (
        (length + 2 * one(bag[border])) * (width + 2 * one(bag[border]))
        for border in ("peel_border", "breather_border")
    )
    tape = 2 * (length + width + 4 * one(bag["margin"])) + 2 * bag["pleats"] * one(bag["pleat_height"])
    spoilage = one(spec.shop["laminate"]["spoilage"])
    return {
        FROM_THE_YARD: _rim(spec)[0] * (1 + true["waste"]),
        "jute cloth 280": math.ceil(rounds[-1].laid * (1 + spoilage) - 1e-9),
        "clear epoxy": sum(each.resin for each in rounds),
        "bag film": sum(each.film for each in rounds),
        "sealant tape": count * tape * (1 + one(bag["tape_extra"])),
        "peel ply": count * peel,
        "breather": count * breather,
        "mixing cup": count * bag["per_cycle"]["mixing cup"],
    }


def _hours(spec: Spec, true: dict[str, float]) -> dict[str, float]:
    """Hours of everything that is done once [h]."""
    standard, (_, faces, parts) = spec.shop["standard"], _rim(spec)
    plain = {
        "milling": parts * true["milling"],
        "milling-setup": one(standard["milling"]["setup"]),
        "sanding": faces * standard["sanding"]["grits"] * true["sanding"],
        "flatten": true["sanding_down"] * true["attended"],
        "assembly": true["assembly"],
    }
    return {task: time * true["pace"] for task, time in plain.items()}


def _after(rounds: list[Pressing], hours: dict[str, float], share: float) -> int | None:
    """The round in which such a share of the work is done, the rim milled in the first; None after the last."""
    by_round = [sum(each.hours.values()) for each in rounds]
    whole = sum(by_round) + sum(hours.values())
    gone = hours["milling"] + hours["milling-setup"]
    for number, worked in enumerate(by_round, start=1):
        gone += worked
        if gone >= share * whole:
            return number
    return None


def _cost(spec: Spec, true: dict[str, float], material: dict[str, float], hours: float) -> float:
    """Materials at the price file, hours at pay and overhead, sundries, the sander, carriage, the trip [money]."""
    shop, pay = spec.shop, spec.shop["pay"]["owner"]["rate"]
    money = {item: quantity * spec.price[item] for item, quantity in material.items()}
    materials = sum(money.values())
    overhead = (shop["overhead"]["rent"] + shop["overhead"]["other"]) / shop["overhead"]["sold_hours"]
    sundries = hours * shop["sundries"]["abrasives"]["per_labour_hour"]
    sundries += materials * one(shop["sundries"]["small_stuff"]["share_of_materials"])
    sander = true["sanding_down"] * shop["machine"]["drum sander"]["rate"]
    dealer = shop["supplier"]["Harrow Composites"]
    carriage = dealer["carriage"] if materials - money[FROM_THE_YARD] < dealer["least_order"] else 0.0
    road, delivery = one(spec.job["delivery"]["road_distance"]), shop["delivery"]
    away = one(delivery["load_time"]) + 2 * road / true["speed"]
    trip = away * (pay + overhead) + 2 * road * one(delivery["per_distance"])
    return materials + hours * (pay + overhead) + sundries + sander + carriage + trip
