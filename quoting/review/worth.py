"""What hours and trips are worth, at the rates that a plan froze."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quoting.ledger.entries import Entry
    from quoting.pricing.record import Priced
    from quoting.review.piece import Piece


def rate_of(plan: Priced, name: str) -> float:
    """An hour's rate of the plan [money/h], such as "pay.owner" or "machine.router"; 0 for a name it lacks."""
    return next((rate.per_hour for rate in plan.rates if rate.name == name), 0.0)


def trip_overhead(piece: Piece) -> float:
    """Overhead on the hours of trips that were logged [money], where the shop puts any on them."""
    if not piece.plan.shop.delivery.overhead_on_trip:
        return 0.0
    hours = sum(entry.hours or 0.0 for entry in piece.holding if entry.kind == "trip")
    return hours * rate_of(piece.plan, "overhead")


def trip_cost(entry: Entry, plan: Priced) -> float:
    """What a trip cost [money]: distance driven, there and back, x the vehicle + hours of all who went x pay, and
    overhead on them where the shop says so.
    """
    standing = plan.shop.delivery
    hour = rate_of(plan, f"pay.{entry.who}")
    hour += rate_of(plan, "overhead") if standing.overhead_on_trip else 0.0
    return (entry.amount or 0.0) * standing.per_distance + (entry.hours or 0.0) * hour
