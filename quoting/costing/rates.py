"""What an hour costs, of a person, of the workshop, of a machine; and what may be counted twice in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.values import Basis, basis

if TYPE_CHECKING:
    from quoting.job.shop import MachineData, Pay, Shop


POWER = ("power", "electric", "energy")
VEHICLE = ("fuel", "van", "vehicle", "truck", "car ", "mileage")
UPKEEP = ("repair", "maintenance", "upkeep", "machine")
PENSION = ("pension", "wage", "owner", "own pay", "salary", "drawings")


class Rate(NamedTuple):
    """Money an hour, with how it is built up."""

    per_hour: float
    words: Basis


def pay_rate(pay: Pay) -> Rate:
    """Pay an hour with what is paid on top of it: rate x (1 + on top); rate = (income of a year + contributions) / sold hours."""
    if pay.rate is not None:
        said = basis("{rate:money} x (1 + {on_top:share} on top)", rate=pay.rate, on_top=pay.on_top)
        return Rate(pay.rate * (1 + pay.on_top), said)
    earned, hours = pay.earn_a_year or 0.0, pay.sold_hours or 1.0
    words = "({earned:money} a year + {contributions:money} contributions) / {hours:number} sold hours x (1 + {on_top:share} on top)"
    said = basis(words, earned=earned, contributions=pay.contributions, hours=hours, on_top=pay.on_top)
    return Rate((earned + pay.contributions) / hours * (1 + pay.on_top), said)


def overhead_rate(overhead: dict[str, float]) -> Rate:
    """Overhead an hour of labour: the year's amounts over its sold hours.

    Predetermined overhead rate = budgeted overhead / budgeted activity (OpenStax, Principles of
    Accounting 2). Raises ValueError for no sold hours.
    """
    hours = overhead.get("sold_hours", 0.0)
    if not hours:
        raise ValueError("overhead needs sold hours")
    yearly = sum(amount for name, amount in overhead.items() if name != "sold_hours")
    words = basis("{yearly:money} a year / {hours:number} sold hours", yearly=yearly, hours=hours)
    return Rate(yearly / hours, words)


def machine_rate(machine: MachineData) -> Rate:
    """A machine's hour: (price - resale) / life + upkeep a year / hours a year + power x tariff."""
    if machine.rate is not None:
        return Rate(machine.rate, basis("{rate:money}, as the shop file says", rate=machine.rate))
    price, life, yearly = machine.price or 0.0, machine.life_hours or 1.0, machine.hours_per_year or 1.0
    words = (
        "({price:money} - {resale:money}) / {life:number} h + {upkeep:money} / {yearly:number} h a year"
        " + {power:power} x {tariff:money_per_energy}"
    )
    rate = (price - machine.resale) / life + machine.upkeep_per_year / yearly + machine.power * machine.tariff
    return Rate(rate, basis(
        words, price=price, resale=machine.resale, life=life, upkeep=machine.upkeep_per_year, yearly=yearly,
        power=machine.power, tariff=machine.tariff,
    ))  # fmt: skip


def purchase_factor(shop: Shop) -> float:
    """What a price of the book costs the shop: tax taken off where it comes back, put on where it does not."""
    tax = shop.tax
    if tax.purchases == "gross" and tax.reclaim and tax.registered:
        return 1 / (1 + tax.rate)
    if tax.purchases == "net" and not tax.reclaim:
        return 1 + tax.rate
    return 1.0


def double_counts(shop: Shop) -> list[str]:
    """A sentence for each row of the overhead that another rate seems to hold already."""
    rows = [name for name in shop.overhead if name != "sold_hours"]
    machines = shop.machine.values()
    powered = any(machine.power * machine.tariff for machine in machines)
    kept_up = any(machine.upkeep_per_year for machine in machines)
    found = []
    for names, said, counted in (
        (POWER, "the power of machines is also in their rates", powered),
        (UPKEEP, "upkeep of machines is also in their rates", kept_up),
        (VEHICLE, "the vehicle is also in delivery.per_distance", shop.delivery.per_distance > 0),
        (PENSION, "your own pay is also in pay.owner", True),
    ):
        for row in rows:
            if counted and any(name in f"{row.replace('_', ' ').casefold()} " for name in names):
                found.append(f"overhead.{row}: {said}; count each once")
    return found
