"""Moving a piece: what the way to the client costs, and how it may be lifted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, cast

import numpy as np

from quoting.takeoff.needs import Doubt, doubt
from quoting.values import Num

if TYPE_CHECKING:
    from quoting.job.job import Delivery, Job
    from quoting.job.selling import Channel
    from quoting.job.shop import Shop


LOAD_CONSTANT_KG = 23.0
COUPLING = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}


@dataclass(frozen=True, slots=True)
class Trip:
    """What a trip is made of: hours and money [m, h, money]."""

    load_h: Num
    crew: int
    crew_rate: float
    flights_cost: float
    per_distance: float
    speed_m_per_h: Num
    overhead_rate: float

    def hours(self, distance_m: Num) -> Num:
        """Hours of each helper: loading and unloading, and the way there and back."""
        return self.load_h + 2 * distance_m / self.speed_m_per_h

    def cost(self, distance_m: Num) -> Num:
        """D(d) = load x crew pay + stairs + 2d (per distance + crew pay / speed) + overhead on trip hours."""
        return trip_cost(
            distance_m=distance_m,
            load_h=self.load_h,
            crew=self.crew,
            crew_rate=self.crew_rate + self.overhead_rate,
            fixed=self.flights_cost,
            per_distance=self.per_distance,
            speed_m_per_h=self.speed_m_per_h,
        )

    def reach_m(self, room: Num) -> Num:
        """The largest road distance d whose trip D(d) costs no more than `room` [m].

        d = (room - D(0)) / D', as D is linear. Below zero where even loading costs more; infinite where
        driving costs nothing.
        """
        each, left = replace(self, load_h=0.0, flights_cost=0.0).cost(1.0), room - self.cost(0.0)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            free = np.where(np.greater_equal(left, 0), np.inf, -1.0)
            return cast("Num", np.where(each > 0, np.divide(left, each), free))


def trip_cost(
    *,
    distance_m: Num,
    load_h: Num,
    crew: int,
    crew_rate: Num,
    fixed: Num,
    per_distance: Num,
    speed_m_per_h: Num,
) -> Num:
    """Cost of a delivery [money]: loading time x crew x their pay + stairs + there and back x (money for a distance + crew x pay / speed)."""
    pay = crew * crew_rate
    return load_h * pay + fixed + 2 * distance_m * (per_distance + pay / speed_m_per_h)


def channel_of(job: Job, shop: Shop) -> Channel:
    """The channel that a job is sold through: its own, else the shop's usual one."""
    return shop.channel[job.price.channel or shop.pricing.channel]


def road_m(delivery: Delivery, road_factor: float) -> float:
    """Road distance [m]: given, or straight distance x road_factor."""
    if delivery.road_distance is not None:
        return delivery.road_distance
    return (delivery.straight_distance or 0.0) * road_factor


def carried_m(job: Job, shop: Shop) -> Num | None:
    """The distance whose trip the price carries [m]; None where the piece is collected.

    A piece for sale carries the free distance. Beyond `furthest` the piece is priced as collected.
    """
    if is_collected(job, shop):
        return None
    if job.piece.basis == "for sale" or job.delivery is None:
        return shop.delivery.free_distance
    distance = road_m(job.delivery, shop.delivery.road_factor)
    return cast("Num", np.minimum(distance, shop.delivery.free_distance))


def is_collected(job: Job, shop: Shop) -> bool:
    """True where the buyer fetches the piece, or it is too far to bring."""
    if channel_of(job, shop).delivers == "buyer":
        return True
    if job.delivery is None:
        return job.piece.basis == "commission"
    return job.delivery.collect or beyond_furthest(job, shop)


def beyond_furthest(job: Job, shop: Shop) -> bool:
    """True where the client is farther away than the shop delivers."""
    if job.delivery is None or job.delivery.collect or channel_of(job, shop).delivers == "buyer":
        return False
    return road_m(job.delivery, shop.delivery.road_factor) > shop.delivery.furthest


def charged_m(job: Job, shop: Shop) -> Num | None:
    """The distance whose trip is paid for, by the price or by a surcharge [m]; None where nothing is brought.

    Never below what the price carries: a piece for sale carries the free distance wherever it goes.
    """
    carried = carried_m(job, shop)
    if carried is None or job.delivery is None:
        return carried
    return cast("Num", np.maximum(road_m(job.delivery, shop.delivery.road_factor), carried))


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
        numbers = {name: getattr(lift, name) for name in ("horizontal", "vertical", "travel", "grip")}
        yield doubt("lifting", "piece", words, mass=mass_kg, limit=limit, **numbers)
