"""Finished pieces side by side: margins by kind, client, species and trade, how well estimates held, a year's overhead."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from quoting.forecast.build import Build
from quoting.job.shop import Shop
from quoting.ledger.entries import Entry
from quoting.logbook.in_hand import SIGNS, WORK
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import rate_of
from quoting.review.bridge import stage_of, stages_logged
from quoting.review.statement import Statement
from quoting.risk.drawn import drawn, seed_and_draws
from quoting.trades.parts import parts

if TYPE_CHECKING:
    import pandas as pd


BAND = (0.10, 0.50, 0.90)
NORMAL_80 = 2.563103131089201  # of the standard normal distribution: from its 10 % to its 90 % quantile


class Compared(NamedTuple):
    """Tables of finished pieces, each row a dictionary. Amounts [money], margins as shares of net, bias as actual over planned
    less 1: above zero where things cost more than estimated.
    """

    pieces: list[dict[str, Any]]
    by_kind: list[dict[str, Any]]
    by_client: list[dict[str, Any]]
    by_species: list[dict[str, Any]]
    by_trade: list[dict[str, Any]]


def compared(statements: Sequence[tuple[Build, Statement]]) -> Compared:
    """Margin and bias over all pieces of one currency, each with its statement."""
    import pandas as pd

    if not statements:
        return Compared([], [], [], [], [])
    pieces = pd.DataFrame([_piece(build, found) for build, found in statements])
    lines = pd.DataFrame([row for build, found in statements for row in _lines(build, found)])
    species = pd.DataFrame(
        [
            {"species": name, **_piece(build, found)}
            for build, found in statements
            for name in dict.fromkeys(
                part.species for _, part in parts(build.brief.job) if hasattr(part, "species")
            )
        ]
    )
    return Compared(
        _records(pieces),
        _margins(pieces, "kind"),
        _margins(pieces, "client"),
        _margins(species, "species") if len(species) else [],
        _bias(lines),
    )


def _piece(build: Build, found: Statement) -> dict[str, Any]:
    piece, way = build.piece, found.way
    return {
        "number": str(piece.number),
        "title": piece.quote.face.title,
        "kind": piece.quote.face.basis,
        "client": piece.quote.face.client or "no client",
        "net": float(way.contract.net),
        "quoted": float(way.quoted),
        "quoted_net": float(piece.sold.chain.net),
        "actual": float(way.actual),
        "planned_cost": float(piece.plan.planned_cost),
        "actual_cost": float(found.cost),
        "an_own_hour": None if found.an_hour is None else float(found.an_hour),
    }


def _lines(build: Build, found: Statement) -> list[dict[str, Any]]:
    """Lines of which the ledger knows what they took; what was not recorded says nothing of an estimate. Hours of a stage stand
    beside the tasks that they are of.
    """
    stages = stages_logged(found.lines)
    return [
        {
            "number": str(build.piece.number),
            "trade": one.line.trade,
            "planned": float(one.planned),
            "standard": float(one.standard),
            "actual": float(one.actual),
        }
        for one in found.lines
        if (one.recorded and not one.missing) or stage_of(one, stages)
    ]


def _margins(pieces: pd.DataFrame, by: str) -> list[dict[str, Any]]:
    """Sums and margins by a column: margin of all pieces together, not the mean of their margins."""
    grouped = pieces.groupby(by, sort=True)
    table = grouped[["net", "quoted", "quoted_net", "actual", "planned_cost", "actual_cost"]].sum()
    table.insert(0, "pieces", grouped.size())
    table["quoted_margin"] = table["quoted"] / table["quoted_net"].where(table["quoted_net"] != 0)
    table["actual_margin"] = table["actual"] / table["net"].where(table["net"] != 0)
    return _records(table.reset_index())


def _bias(lines: pd.DataFrame) -> list[dict[str, Any]]:
    """Actual against planned by trade; `bias_of_rounds` is what more or fewer rounds made of it."""
    if not len(lines):
        return []
    grouped = lines.groupby("trade", sort=False)
    table = grouped[["planned", "standard", "actual"]].sum()
    table.insert(0, "pieces", grouped["number"].nunique())
    planned = table["planned"].where(table["planned"] != 0)
    table["bias"] = table["actual"] / planned - 1
    table["bias_of_rounds"] = table["standard"] / planned - 1
    return _records(table.reset_index())


def _records(table: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows with None where there is no share."""
    return [
        {str(name): None if value != value else value for name, value in row.items()}
        for row in table.to_dict("records")
    ]


class Band(NamedTuple):
    """A finished piece: the band in which 8 in 10 builds were to cost, its middle, and what it cost [money]."""

    number: str
    low: float
    middle: float
    high: float
    actual: float

    @property
    def held(self) -> bool:
        """True where the cost fell within the band."""
        return self.low <= self.actual <= self.high


class Calibration(NamedTuple):
    """Bands of finished pieces; the `share` that fell within, and the `width` that bands should have had for 8 in 10: 1 is
    right, 2 twice as wide. None where there is no piece, or no spread.
    """

    bands: tuple[Band, ...]
    share: float | None
    width: float | None


def calibration(statements: Iterable[tuple[Build, Statement]]) -> Calibration:
    """Draw each job as it was agreed in the end, and hold its cost against what it was.

    width = root mean square of (actual - middle) / (band / 2.563): bands are as wide as a normal distribution's that has the
    standard deviation by which the pieces really missed their middle.
    """
    found = []
    for build, was in statements:
        run = drawn(build.brief, *seed_and_draws(build.brief))
        low, middle, high = map(float, np.quantile(run.cost, BAND))
        found.append(Band(str(build.piece.number), low, middle, high, float(was.cost)))
    spread = [one for one in found if one.high > one.low]
    misses = [((one.actual - one.middle) / ((one.high - one.low) / NORMAL_80)) ** 2 for one in spread]
    return Calibration(
        tuple(found),
        sum(one.held for one in found) / len(found) if found else None,
        math.sqrt(sum(misses) / len(misses)) if misses else None,
    )


class Overhead(NamedTuple):
    """Fixed overhead of a year [money]: spent less budget, and budget less what the hours worked absorbed."""

    spending: float
    volume: float

    @property
    def under_absorbed(self) -> float:
        """Spent and not absorbed [money]; below zero where more was absorbed than spent."""
        return self.spending + self.volume


def overhead(*, spent: float, budget: float, absorbed: float) -> Overhead:
    """Spending and volume variance of fixed overhead: spent - budget, budget - absorbed (OpenStax, Principles of
    Accounting 2, chapters 4 and 8). Their sum is what was spent less what was absorbed.
    """
    return Overhead(spent - budget, budget - absorbed)


class Year(NamedTuple):
    """A year's overhead [money]: by the shop file as it is now, spent as far as the ledger tells (None where it tells nothing),
    borne by the hours of pieces [h]; the variances, where it was spent.
    """

    year: int
    budget: float
    spent: float | None
    hours: float
    absorbed: float
    variance: Overhead | None


def years(pieces: Iterable[Piece], shop_entries: Iterable[Entry], shop: Shop) -> list[Year]:
    """Every year in which something was logged."""
    budget = sum(amount for name, amount in shop.overhead.items() if name != "sold_hours")
    hours: dict[int, float] = defaultdict(float)
    absorbed: dict[int, float] = defaultdict(float)
    for piece in pieces:
        rate = rate_of(piece.plan, "overhead")
        kinds = (*WORK, "trip") if piece.plan.shop.delivery.overhead_on_trip else WORK
        for entry in piece.holding:
            if entry.kind in kinds:
                hours[entry.day.year] += entry.hours_worked
                absorbed[entry.day.year] += entry.hours_worked * rate
    spent: dict[int, float] = defaultdict(float)
    for entry in shop_entries:
        if entry.kind in SIGNS:
            spent[entry.day.year] += SIGNS[entry.kind] * float(entry.money or 0)
    variances = {
        year: overhead(spent=money, budget=budget, absorbed=absorbed[year]) for year, money in spent.items()
    }
    return [
        Year(year, budget, spent.get(year), hours[year], absorbed[year], variances.get(year))
        for year in sorted({*hours, *spent})
    ]
