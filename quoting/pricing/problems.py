"""What keeps a job from being priced."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting.costing.needs import needed
from quoting.costing.shelf import missing_prices
from quoting.errors import Problem
from quoting.inputs.job import TRADES
from quoting.pick import likely
from quoting.takeoff import trades

if TYPE_CHECKING:
    from quoting.inputs.brief import Brief


def problems_of(brief: Brief, with_prices: bool = True) -> list[Problem]:
    """Everything that keeps a job from being reckoned, judged at the plan; missing prices on wish."""
    found = trades.problems(brief.job, brief.shop, brief.tables)
    if with_prices:
        broken = {".".join(problem.field.split(".")[:2]) for problem in found}
        rest = needed(_without(brief, broken), likely)
        found += missing_prices(rest.needs, brief)
        found += [
            Problem(
                f"work.{work}.replaces",
                "found no line to take the place of",
                "check the operation and the part",
            )
            for work in rest.replacing_nothing
        ]
    return brief.placed(list(dict.fromkeys(found)))


def _without(brief: Brief, broken: set[str]) -> Brief:
    """The brief without the parts that cannot be reckoned, so that the others still can be looked at."""
    from dataclasses import replace

    kept: dict[str, Any] = {
        trade: tuple(part for part in getattr(brief.job, trade) if f"{trade}.{part.id}" not in broken)
        for trade in TRADES
    }
    return replace(brief, job=replace(brief.job, **kept))
