"""What is hidden behind a build: its true values, and how its rounds differ from one another."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from simulation.spec import one, ranged

if TYPE_CHECKING:
    from collections.abc import Callable

    from simulation.spec import Range, Spec

ROUND_TASKS = ("bag-setup", "close-bag", "debag-time", "clean-up")
"""What every round takes alike, however many plies it lays."""


class Noise(NamedTuple):
    """How rounds differ: factors of hours and of resin, and metres by which a measured thickness is off."""

    hours: Callable[[], float]
    used: Callable[[], float]
    thickness: Callable[[], float]


class Hidden(NamedTuple):
    """The truth of a build. A setback happens `mishap` times (once or not; by the plan as often as its chance says), when
    so large a share of the work is done.
    """

    true: dict[str, float]
    noise: Noise
    mishap: float
    mishap_at: float


def likely(spec: Spec) -> Hidden:
    """The truth that a plan supposes: everything is likely, and nothing differs."""
    still = Noise(lambda: 1.0, lambda: 1.0, lambda: 0.0)
    return Hidden(values(spec, lambda given: given.likely), still, spec.job["setback"][0]["chance"], 1.0)


def drawn(spec: Spec, seed: int, number: int) -> Hidden:
    """The truth of one build of many; noise as the shop states it, a setback at any time of the work alike."""
    rng = np.random.default_rng([seed, number])
    spread = {name: one(text) for name, text in spec.shop["logged"].items()}
    noise = Noise(
        lambda: 1 + spread["hours"] * rng.standard_normal(),
        lambda: 1 + spread["used"] * rng.standard_normal(),
        lambda: spread["thickness"] * rng.standard_normal(),
    )
    happens = float(rng.random() < spec.job["setback"][0]["chance"])
    return Hidden(values(spec, lambda given: given.drawn(rng)), noise, happens, rng.random())


def values(spec: Spec, read: Callable[[Range], float]) -> dict[str, float]:
    """Every truth of a build, as `read` from its range."""
    slab, setback, shop = spec.job["laminate"][0], spec.job["setback"][0], spec.shop
    laminate, standard = shop["laminate"], shop["standard"]
    ranges = {
        "ply": slab["ply_thickness"], "time_per_ply": slab["time_per_ply"], "removes": slab["flatten"][0]["removes"],
        "sanding_down": slab["flatten"][0]["hours"], "attended": slab["flatten"][0]["attended"],
        "pace": shop["pace"]["factor"], "waste": shop["timber"]["waste"], "speed": shop["delivery"]["speed"],
        "setback_hours": setback["hours"], "setback_cost": setback["cost"],
        **{name: laminate[name] for name in ("bleed", "wet_out", "mixing_loss", "learning")},
        **{name: laminate[name.replace("-", "_")] for name in ROUND_TASKS},
        **{name: standard[name]["time"] for name in ("milling", "sanding", "mixing", "assembly")},
    }  # fmt: skip
    return {name: read(ranged(text)) for name, text in ranges.items()}
