"""Costs that may be counted twice: in the overhead, and again in a rate."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quoting.inputs.shop import Shop

POWER = ("power", "electric", "energy")
VEHICLE = ("fuel", "van", "vehicle", "truck", "car ", "mileage")
UPKEEP = ("repair", "maintenance", "upkeep", "machine")
PENSION = ("pension", "wage", "owner", "own pay", "salary", "drawings")


def double_counts(shop: Shop) -> list[str]:
    """A sentence for each row of the overhead that another rate seems to hold already."""
    rows = [name for name in shop.overhead if name != "billable_hours"]
    machines = shop.machine.values()
    found = []
    for names, said, counted in (
        (
            POWER,
            "the power of machines is also in their rates",
            any(machine.power * machine.tariff for machine in machines),
        ),
        (
            UPKEEP,
            "upkeep of machines is also in their rates",
            any(machine.upkeep_per_year for machine in machines),
        ),
        (VEHICLE, "the vehicle is also in delivery.per_distance", shop.delivery.per_distance > 0),
        (PENSION, "your own pay is also in pay.owner", True),
    ):
        for row in rows:
            if counted and any(name in f"{row.replace('_', ' ').casefold()} " for name in names):
                found.append(f"overhead.{row}: {said}; count each once")
    return found
