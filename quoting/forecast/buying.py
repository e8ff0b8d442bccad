"""What is still to be bought, how much of it, and by when it has to be ordered."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from quoting.costing.rates import purchase_factor
from quoting.costing.shelf import Pack, pack_table
from quoting.declaration import COATING, FINISH
from quoting.forecast.build import Build
from quoting.forecast.ends import Ends, spread_out
from quoting.forecast.panels import Panel
from quoting.logbook.filled import Filled
from quoting.trades.registry import chain_of
from quoting.values import key

HALF, EIGHT = 0.5, 0.8
LEAST_SHARE = 0.01  # of what is needed: less than that is no errand


class ToBuy(NamedTuple):
    """An item that runs short: what half of all builds and what 8 in 10 still need [unit], what to buy for the latter, its
    money, and the day by which it is to be ordered so that nobody waits; `late_days` are those that it comes too late even if it
    is ordered now. `have` is what is left on the shelf.
    """

    item: str
    unit: str
    have: float
    half: float
    eight: float
    packs: str
    money: float
    supplier: str
    lead_days: float
    needed_by: date
    order_by: date
    late_days: int


def to_buy(build: Build, end: Ends, panels: tuple[Panel, ...], day: date, count: int) -> Iterator[ToBuy]:
    """Everything that is bought for the piece and is not there yet, the most urgent first."""
    items: dict[str, list[Filled]] = defaultdict(list)
    for one in build.lines:
        line = one.line
        material = line.material and line.supplied == "bought"
        outside = line.from_outside and not line.material
        if (material or outside) and not one.lump and not (outside and one.logged):
            items[key(line.item)].append(one)
    found = []
    for name, lines in items.items():
        had, to_go = (
            spread_out(sum((of[one.line.id] for one in lines), start=np.float64(0)), count)
            for of in (end.had, end.to_go)
        )
        wanted, used = had + to_go, float(np.median(had))
        there = max(sum(one.bought for one in lines), used)
        half, eight = (float(np.maximum(np.quantile(wanted, level) - there, 0.0)) for level in (HALF, EIGHT))
        if eight <= LEAST_SHARE * max(float(np.max(wanted)), 1.0) or not np.any(to_go):
            continue
        wait = _days_until_short(build, lines, there - used, to_go, end, panels)
        found.append(_row(build, lines[0], name, there - used, half, eight, wait, day))
    yield from sorted(found, key=lambda one: (one.order_by, one.item))


def _row(
    build: Build, one: Filled, name: str, have: float, half: float, eight: float, wait: float, day: date
) -> ToBuy:
    line, rows = one.line, build.brief.book.get(name, ())
    planned = next((row for row in build.piece.plan.buying if key(row.item) == name), None)
    lead = max((row.lead_days for row in rows), default=planned.lead_days if planned is not None else 0.0)
    supplier = rows[0].supplier if rows else planned.supplier if planned is not None else ""
    packs, money = "as ordered", eight * line.rate
    if rows:
        factor = purchase_factor(build.brief.shop)
        table = pack_table(tuple(Pack(row.pack or 0.0, row.price * factor) for row in rows))
        cover = table.bought(eight)
        packs = " + ".join(
            f"{number} x {pack.size:g} {line.unit}"
            for number, pack in zip(cover.packs, table.packs, strict=False)
            if number
        )
        money = cover.cost
    needed = day + timedelta(days=int(wait))
    ahead = int(np.ceil(lead)) - int(wait)
    order = day + timedelta(days=max(-ahead, 0))
    return ToBuy(
        line.item,
        line.unit,
        have,
        half,
        eight,
        packs or "any amount",
        money,
        supplier,
        lead,
        needed,
        order,
        max(ahead, 0),
    )


def _days_until_short(
    build: Build,
    lines: list[Filled],
    stock: float,
    to_go: NDArray[np.float64],
    end: Ends,
    panels: tuple[Panel, ...],
) -> float:
    """Days until an item runs out [d]: rounds that the stock still serves, or the days of the bench before what follows it."""
    bench = float(np.median(spread_out(end.bench_days, len(to_go))))
    if all(chain_of(one.line.trade) in (COATING, FINISH) for one in lines):
        return bench
    rounds = max((float(n) for panel in panels for n, _ in panel.rounds_to_go), default=0.0)
    middle = float(np.median(to_go))
    if not all(one.line.id in build.by_round for one in lines) or rounds <= 0 or middle <= 0:
        return 0.0
    return int(stock / (middle / rounds) + 1e-6) * bench / rounds
