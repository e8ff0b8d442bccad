"""How far a price reaches: what trips cost by distance, which surcharge pays for them, where the margin gives out."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from quoting.costing.rates import pay_rate
from quoting.costing.shared import job_trip
from quoting.job.brief import Brief
from quoting.job.rules import OWNER
from quoting.job.shop import Shop
from quoting.money import exact
from quoting.pick import likely
from quoting.pricing.chain import Rules, left_for_cost
from quoting.pricing.sale import Sale
from quoting.takeoff.delivery import Trip
from quoting.values import round_step

ROWS = 10


class Costs(NamedTuple):
    """A cost without its trip [money], and what it is called."""

    name: str
    amount: float


class Way(NamedTuple):
    """A way to bring a piece, and what it is called."""

    name: str
    trip: Trip


class Radius(NamedTuple):
    """The largest road distance that a cost leaves room for [m], at the floor and at the margin asked.

    None where even a delivery next door costs too much; infinite where driving costs nothing.
    """

    name: str
    at_floor: float | None
    at_margin: float | None


class Row(NamedTuple):
    """A distance by road [m]: the trip, the surcharge of the shop's rule, and margins. `needed` holds the margin asked."""

    distance: float
    trip: float
    free_margin: float
    surcharge: float
    margin: float
    needed: float


@dataclass(frozen=True, slots=True)
class Reach:
    """A price and a cost against distance. `cost` is without any trip and is the first of `costs`.

    `left` is what of a net price is left for cost (`chain.left_for_cost`); `waiting` what waiting for a buyer adds to
    the cost of a trip that the price carries, as a share of it.
    """

    sale: Sale
    rules: Rules
    costs: tuple[Costs, ...]
    ways: tuple[Way, ...]
    left: float
    free_m: float
    furthest_m: float
    road_factor: float
    waiting: float = 0.0

    @property
    def trip(self) -> Trip:
        """The usual way to bring it."""
        return self.ways[0].trip

    def room(self, cost: float, margin: float) -> float:
        """What a trip may cost at a margin [money]: kept - margin x net - cost, less what waiting adds."""
        kept, net = float(self.sale.kept), float(self.sale.net)
        return (kept - margin * net - cost) / (1 + self.waiting)

    def radius(self, name: str, cost: float, way: Trip) -> Radius:
        """The radius within which delivery can be free."""
        floor, asked = (
            float(way.reach_m(self.room(cost, float(margin))))
            for margin in (self.rules.floor, self.rules.margin)
        )
        return Radius(name, floor if floor >= 0 else None, asked if asked >= 0 else None)

    def radii(self) -> list[Radius]:
        """Break-even radii of every cost."""
        return [self.radius(one.name, one.amount, self.trip) for one in self.costs]

    def by_way(self) -> list[Radius]:
        """Break-even radii of every way to bring it, at the first cost."""
        return [self.radius(one.name, self.costs[0].amount, one.trip) for one in self.ways]

    def surcharge(self, distance_m: float) -> float:
        """The shop's surcharge: what the trip costs beyond the free distance, over what is left of a price for cost.

        (D(d) - D(free)) / left; none within the free distance, to which its boundary belongs.
        """
        if distance_m <= self.free_m:
            return 0.0
        extra = exact(float(self.trip.cost(distance_m) - self.trip.cost(self.free_m)), self.rules.digits)
        return float(extra) / self.left

    @property
    def seen(self) -> float:
        """What a surcharge is multiplied by to be what the client sees: with tax where the shop shows prices so."""
        return 1 + float(self.rules.tax) if self.rules.included and self.rules.tax_the_trip else 1.0

    def row(self, distance_m: float) -> Row:
        """Everything about one distance.

        The surcharge that holds the margin asked is F = (C + D) / left - P with fixed fees in C, never below zero.
        A surcharge is a price too: fees go off it.
        Waiting adds to what the price carries alone. Surcharges are net.
        """
        cost, net = self.costs[0].amount, float(self.sale.net)
        kept, trip = float(self.sale.kept), float(self.trip.cost(distance_m))
        carried = trip * (1 + self.waiting)
        extra = self.surcharge(distance_m)
        near = float(self.trip.cost(min(distance_m, self.free_m)))
        spent = cost + near * (1 + self.waiting) + trip - near
        of_extra = self.left + float(self.rules.margin)
        missing = float(self.rules.margin) * net - (kept - spent)
        return Row(
            distance=distance_m,
            trip=trip,
            free_margin=(kept - cost - carried) / net if net else -math.inf,
            surcharge=extra,
            margin=(kept + extra * of_extra - spent) / (net + extra) if net + extra else -math.inf,
            needed=max(missing / self.left, 0.0),
        )

    def rows(self, unit_m: float, *also_m: float) -> list[Row]:
        """Rows by even steps as far as the shop delivers, and those of some distances more."""
        marks = {*even_steps(self.furthest_m, unit_m), self.free_m, self.furthest_m, *also_m}
        return [self.row(distance) for distance in sorted(marks)]


def reach_of(sale: Sale, rule: Rules, costs: tuple[Costs, ...], brief: Brief, waiting: float = 0.0) -> Reach:
    """The reach of a sale by the trip of a job, and as its shop delivers."""
    shop = brief.shop
    free_m, furthest_m, road_factor = (
        shop.delivery.free_distance,
        shop.delivery.furthest,
        shop.delivery.road_factor,
    )
    by = ways(job_trip(brief, likely), shop)
    return Reach(sale, rule, costs, by, float(left_for_cost(rule)), free_m, furthest_m, road_factor, waiting)


def even_steps(furthest_m: float, unit_m: float) -> Iterator[float]:
    """Distances in even steps of a unit, about ten of them [m]."""
    step = round_step(furthest_m / unit_m, ROWS)
    yield from (i * step * unit_m for i in range(int(furthest_m / unit_m / step * (1 + 1e-9)) + 1))


def ways(usual: Trip, shop: Shop) -> tuple[Way, ...]:
    """The usual way, with one more helper, and with a hired van where the shop says what one costs.

    A helper gets the first pay of the shop that is not the owner's; where there is none, as much as who drives.
    """
    hired = next((pay_rate(pay).per_hour for who, pay in shop.pay.items() if who != OWNER), usual.crew_rate)
    crew = usual.crew + 1
    mean = (usual.crew * usual.crew_rate + hired) / crew
    found = [Way("as planned", usual), Way("with one more helper", replace(usual, crew=crew, crew_rate=mean))]
    hire, per_distance = shop.delivery.hired_van, shop.delivery.hired_per_distance
    if hire or per_distance:
        van = replace(usual, flights_cost=usual.flights_cost + hire, per_distance=per_distance)
        found.append(Way("with a hired van", van))
    return tuple(found)
