"""Lines that belong to the job as a whole: overhead, sundries, carriage, the trip, waiting money."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.lines import Line, line_of
from quoting.costing.rates import overhead_rate, pay_rate
from quoting.costing.shelf import orders
from quoting.takeoff.delivery import Trip, carried_m, channel_of, charged_m
from quoting.takeoff.needs import Need
from quoting.takeoff.numbers import total
from quoting.values import Basis, Num, Pick, basis, key

if TYPE_CHECKING:
    from quoting.job.brief import Brief


CARRIED = "delivery_carried"
SECTIONS = {"carriage": "supplier", CARRIED: "delivery"}
"""Sections of the shop file that are called otherwise than the lines which rest on them."""


def shared_line(id: str, group: str, item: str, quantity: Num, unit: str, rate: Num, words: Basis) -> Line:
    """A line of the job as a whole, at a rate of the shop file."""
    need = Need(
        id=id, trade=group, part="the job", kind="job", item=item, amounts={}, basis=words, stage="job"
    )
    source = basis("{source}", source=f"shop file, {SECTIONS.get(group, group)}")
    return line_of(need, group, quantity, unit, rate, source)


def labour_hours(lines: Iterable[Line]) -> Num:
    """Hours of people at the bench, setbacks included [h]."""
    return total(line.quantity for line in lines if line.kind == "labour")


def job_trip(brief: Brief, pick: Pick) -> Trip:
    """The trip of the job at the shop's pay and overhead: its own crew and stairs, else the shop's."""
    shop, own, standing = brief.shop, brief.job.delivery, brief.shop.delivery
    return Trip(
        load_h=pick(standing.load_time),
        crew=own.crew if own is not None and own.crew else standing.crew,
        crew_rate=pay_rate(shop.pay[standing.who]).per_hour,
        flights_cost=(own.flights if own is not None else 0) * standing.per_flight,
        per_distance=standing.per_distance,
        speed_m_per_h=pick(standing.speed),
        overhead_rate=overhead_rate(shop.overhead).per_hour if standing.overhead_on_trip else 0.0,
    )


def trip_beyond(brief: Brief, pick: Pick) -> Num:
    """What the trip costs beyond the distance that the price carries [money]: a surcharge pays for it."""
    near, far = carried_m(brief.job, brief.shop), charged_m(brief.job, brief.shop)
    if near is None or far is None:
        return 0.0
    trip = job_trip(brief, pick)
    return trip.cost(far) - trip.cost(near)


def trip_carried(lines: Iterable[Line]) -> Num:
    """The trip that the price carries, as it stands among the lines [money]."""
    return total(line.amount for line in lines if line.group == CARRIED)


def waiting_share(brief: Brief) -> float:
    """What waiting for a buyer adds to every cost, as a share of it: share a year x days / 365."""
    channel = channel_of(brief.job, brief.shop)
    return channel.money_cost * channel.days_to_sell / 365


def shared_lines(lines: list[Line], needs: Iterable[Need], brief: Brief, pick: Pick) -> Iterator[Line]:
    """Sundries, carriage, overhead, the trip that the price carries, and money while a piece waits."""
    found = [
        *_sundries(lines, brief),
        *_carriage(needs, brief),
        *_overhead(lines, brief),
        *_trip(brief, pick),
    ]
    yield from found
    yield from _waiting([*lines, *found], brief)


def _sundries(lines: list[Line], brief: Brief) -> Iterator[Line]:
    hours = labour_hours(lines)
    materials: Num = total(line.amount for line in lines if line.material)
    for name, sundry in brief.shop.sundries.items():
        label = name.replace("_", " ")
        if sundry.per_labour_hour:
            words = basis("{hours:time} of labour", hours=hours)
            rate = sundry.per_labour_hour
            yield shared_line(f"sundries.{name}.hours", "sundries", label, hours, "h", rate, words)
        if share := sundry.share_of_materials:
            said = "{share:share} of materials worth {materials:money}"
            words = basis(said, share=share, materials=materials)
            id = f"sundries.{name}.share"
            yield shared_line(id, "sundries", label, materials, "of materials", share, words)


def _carriage(needs: Iterable[Need], brief: Brief) -> Iterator[Line]:
    """Carriage of each supplier whose order, in whole packs, is too small to come free."""
    known_suppliers = {key(name): supplier for name, supplier in brief.shop.supplier.items()}
    for name, order in orders(needs, brief).items():
        known = known_suppliers.get(key(name))
        if known is None or not known.carriage:
            continue
        paid = np.where(order < known.least_order, 1.0, 0.0)
        said = "an order of {order:money} from {name}, free from {least:money} on"
        words = basis(said, order=order, name=name, least=known.least_order)
        item = f"carriage, {name}"
        yield shared_line(f"carriage.{name}.order", "carriage", item, paid, "order", known.carriage, words)


def _overhead(lines: list[Line], brief: Brief) -> Iterator[Line]:
    hours = labour_hours(lines)
    rate = overhead_rate(brief.shop.overhead).per_hour
    words = basis("{hours:time} of labour", hours=hours)
    yield shared_line("overhead.job.hours", "overhead", "overhead", hours, "h", rate, words)


def _trip(brief: Brief, pick: Pick) -> Iterator[Line]:
    """Delivery that the price carries: the whole trip, or as far as the free distance."""
    distance = carried_m(brief.job, brief.shop)
    if distance is None:
        return
    trip = job_trip(brief, pick)
    words = basis(
        "{load:time} loading, 2 x {distance:distance} (carried as far as {free:distance}) at {per:money_per_length} and {speed:speed}, crew of {crew:number}"
        " at {rate:money} an hour, stairs {flights:money}, overhead {overhead:money} an hour",
        load=trip.load_h,
        distance=distance,
        free=brief.shop.delivery.free_distance,
        per=trip.per_distance,
        speed=trip.speed_m_per_h,
        crew=trip.crew,
        rate=trip.crew_rate,
        flights=trip.flights_cost,
        overhead=trip.overhead_rate,
    )
    yield shared_line("delivery.trip.carried", CARRIED, "delivery", 1.0, "trip", trip.cost(distance), words)


def _waiting(lines: list[Line], brief: Brief) -> Iterator[Line]:
    """What the money in a piece costs until it is sold: cost x share a year x days / 365."""
    channel = channel_of(brief.job, brief.shop)
    if not channel.days_to_sell or not channel.money_cost:
        return
    cost: Num = total(line.amount for line in lines)
    share = waiting_share(brief)
    said = "{cost:money} for {days:number} days at {year:share} a year"
    words = basis(said, cost=cost, days=channel.days_to_sell, year=channel.money_cost)
    yield shared_line("channel.money.days", "channel", "money while it waits", cost, "of cost", share, words)
