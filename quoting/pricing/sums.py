"""Sums of a priced job: quantities, cost by group, the three totals, days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.money import exact
from quoting.pricing import lists as buying_list
from quoting.trades.registry import trades

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.costing.model import Cost
    from quoting.declaration import Trade
    from quoting.job.brief import Brief
    from quoting.job.job import Job
    from quoting.pricing.record import Buying, PricedLine


REST = ("labour", "machine", "sundries", "carriage", "channel", "overhead", "delivery_carried")
"""Groups of lines that belong to no trade's material, below those that do."""


def told(job: Job) -> list[Trade]:
    """Trades whose figures stand in the answer to a job: those that always do, and those that it has parts of."""
    return [one for name, one in trades().items() if one.always or name in job.parts]


def fact_names(job: Job) -> list[str]:
    """Quantities that are added up for a job, in printed order."""
    return list(dict.fromkeys(fact.name for one in told(job) for fact in one.facts))


def group_names(job: Job) -> list[str]:
    """Groups of lines of a job, in printed order."""
    return [*(group.name for one in told(job) for group in one.groups), *REST]


def quantities(run: Cost, brief: Brief, to_buy: list[Buying]) -> dict[str, float]:
    """The quantities of --json: units in their names, of all pieces; mass of one."""
    week = brief.shop.shop.week
    bench = float(run.bench_days(week.hours))
    facts = {name: float(run.needed.facts.get(name, 0.0)) for name in fact_names(brief.job)}
    return facts | {
        "labour_hours": float(run.labour_h),
        "machine_hours": float(run.machine_h),
        "mass_kg": float(run.needed.mass_kg),
        "bench_days": bench,
        "lead_days": lead_days(brief.shop.shop.booked_ahead, buying_list.longest_lead_days(to_buy), bench),
    }


def lead_days(booked_d: float, longest_lead_d: float, bench_d: float) -> float:
    """Days from the order to the hand-over: what is booked, or the longest supplier's lead, then the build.

    Things are ordered at once and come while other work is done; nothing is built of what is not there.
    """
    return max(booked_d, longest_lead_d) + bench_d


def costs_by_group(
    job: Job,
    lines: tuple[PricedLine, ...],
    planned: Decimal,
    reserve: Decimal,
    to_buy: list[Buying],
    digits: int,
) -> dict[str, Decimal]:
    """Cost by group, and the three totals: replacement value, own cost, cash now."""
    zero = exact(0, digits)
    costs = dict.fromkeys(group_names(job), zero)
    for line in lines:
        costs[line.trade] += line.amount
    given = sum((line.amount for line in lines if line.supplied == "given"), zero)
    return costs | {
        "materials": sum((line.amount for line in lines if line.material), zero),
        "planned": planned,
        "reserve": reserve,
        "with_reserve": planned + reserve,
        "replacement": planned,
        "own": planned - given,
        "cash": sum((line.amount for line in to_buy), zero),
    }
