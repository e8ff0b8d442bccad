"""Who can lift the piece: the revised NIOSH lifting equation."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from quoting.takeoff.needs import Doubt
from quoting.values import basis

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.job.shop import Shop
    from quoting.values import Num

LOAD_CONSTANT_KG = 23.0
COUPLING = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}


def recommended_limit_kg(
    *,
    horizontal_m: Num,
    vertical_m: Num,
    travel_m: Num,
    turn_deg: Num = 0.0,
    frequency: Num = 1.0,
    grip: str = "poor",
) -> Num:
    """Recommended weight limit for one person with two hands [kg].

    RWL = 23 x HM x VM x DM x AM x FM x CM with HM = 25/H, VM = 1 - 0.003 |V - 75|, DM = 0.82 + 4.5/D,
    AM = 1 - 0.0032 A (H, V, D in cm, A in degrees); H below 25 and D below 25 count as 25; beyond H 63,
    V 175 or A 135 the limit is 0. `frequency` is the multiplier FM. DHHS (NIOSH) 94-110, rev. 9/2021.
    """
    h, v, d = horizontal_m * 100, vertical_m * 100, travel_m * 100
    low, high = COUPLING[grip]
    limit = (
        LOAD_CONSTANT_KG
        * (25 / np.maximum(h, 25.0))
        * (1 - 0.003 * np.abs(v - 75))
        * (0.82 + 4.5 / np.maximum(d, 25.0))
        * (1 - 0.0032 * turn_deg)
        * frequency
        * np.where(v < 75, low, high)
    )
    return np.where((h > 63) | (v > 175) | (turn_deg > 135), 0.0, limit)


def doubts(mass_kg: float, shop: Shop) -> Iterator[Doubt]:
    """A piece that one person should not lift."""
    lift = shop.lift
    limit = recommended_limit_kg(
        horizontal_m=lift.horizontal, vertical_m=lift.vertical, travel_m=lift.travel, grip=lift.grip
    )
    if mass_kg > limit * shop.warnings.lift_index:
        words = (
            "the piece weighs {mass:mass}; the limit for one person is {limit:mass} (revised NIOSH lifting equation,"
            " 23 kg x hands {horizontal:length} out, {vertical:length} up, moved {travel:length}, {grip} grip): more than one person, or a lifting aid"
        )
        yield Doubt(
            "lifting",
            "piece",
            basis(
                words,
                mass=mass_kg,
                limit=limit,
                horizontal=lift.horizontal,
                vertical=lift.vertical,
                travel=lift.travel,
                grip=lift.grip,
            ),
        )
