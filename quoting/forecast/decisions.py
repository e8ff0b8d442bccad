"""What there is to decide and to buy: each laminate, how far it is and could be; each item that runs short."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from quoting.costing.packs import Pack, pack_table
from quoting.costing.rates import purchase_factor
from quoting.declaration import COATING, FINISH
from quoting.forecast.build import Build, Stop, facts
from quoting.forecast.ends import Ends, ends, spread_out
from quoting.logbook.filled import Filled
from quoting.logbook.piece import Contract
from quoting.logbook.pressed import Pressed
from quoting.pick import known
from quoting.pricing.lists import AS_ORDERED, in_packs
from quoting.pricing.record import PricedLine
from quoting.risk.drawn import Quantile, chances, quantiles
from quoting.takeoff.numbers import total
from quoting.trades.laminate import LAMINATE
from quoting.trades.laminate.rounds import lay_up
from quoting.trades.registry import chain_of
from quoting.values import Pick, key

MOST_ROUNDS_MORE = 2


HALF, EIGHT = 0.5, 0.8
LEAST_SHARE = 0.01  # of what is needed: less than that is no errand


class Panel(NamedTuple):
    """A laminate: rounds pressed, plies laid, the last thickness measured [m] and over how many plies; the thickness wanted, with what is
    flattened off [m]; plies of a round to come; chances by plies and by rounds still needed; one ply [m].
    """

    id: str
    part: str
    rounds: int
    plies: int
    measured_m: float | None
    measured_plies: int
    wanted_m: float
    removed_m: float
    per_round: int
    plies_to_go: tuple[tuple[int, float], ...]
    rounds_to_go: tuple[tuple[int, float], ...]
    ply_m: tuple[Quantile, ...]


def panels(build: Build, pick: Pick, count: int) -> tuple[Panel, ...]:
    """Every laminate that is not done, as draws see it."""
    run, begun = known(facts(build), pick), {one.part.id: one for one in build.pressed}
    found = []
    for part in LAMINATE.of(build.brief.job):
        ahead = [one for one in build.lines if one.line.id == f"laminate.{part.id}.laying"]
        if not ahead or build.progress.behind(ahead[0].line) or part.id in build.ended:
            continue
        lay = lay_up(part, build.brief.shop, build.brief.tables, run)
        mine = begun.get(part.id, Pressed(part, 0, 0, (), (), {}))
        found.append(
            Panel(
                id=part.id,
                part=part.part,
                rounds=mine.rounds,
                plies=mine.plies,
                measured_m=mine.last.thickness_m if mine.last is not None else None,
                measured_plies=mine.last.plies if mine.last is not None else 0,
                wanted_m=part.thickness,
                removed_m=float(np.mean(spread_out(lay.removed_m, count))),
                per_round=int(np.median(spread_out(lay.per_round, count))),
                plies_to_go=chances(spread_out(lay.plies, count) - mine.plies),
                rounds_to_go=chances(spread_out(lay.cycles, count) - mine.rounds),
                ply_m=quantiles(spread_out(lay.ply_m, count)),
            )
        )
    return tuple(found)


class Choice(NamedTuple):
    """A laminate ended after so many `more` rounds (None: when it is as thick as planned, after so many `rounds`): its thickness
    after flattening [m], from the last one measured where there is one, the cost of the piece in the end [money], days still to go [d]; the middle margin of the price. `reaches` is
    the share of builds in which it is as thick as wanted.
    """

    part: str
    more: int | None
    rounds: int
    thickness_m: tuple[Quantile, ...]
    reaches: float
    cost: tuple[Quantile, ...]
    days: tuple[Quantile, ...]
    margin: float | None


def choices(
    build: Build, panel_list: Sequence[Panel], pick: Pick, contract: Contract, count: int
) -> Iterator[Choice]:
    """The choices of every laminate that is begun and not done; rounds that reach the planned thickness are one choice. None
    costs another price.
    """
    for panel in panel_list:
        begun = next((one for one in build.pressed if one.part.id == panel.id), None)
        if begun is None:
            continue
        part, mine = begun.part, begun.last
        lay = lay_up(part, build.brief.shop, build.brief.tables, known(facts(build), pick))
        needed = middle_rounds(panel)
        for more in (*range(min(MOST_ROUNDS_MORE + 1, needed)), None):
            stop = None if more is None else Stop(panel.id, more, float(panel.per_round))
            end = ends(build, pick, stop)
            plies = lay.plies if more is None else panel.plies + more * float(panel.per_round)
            thick = plies * lay.ply_m if mine is None else mine.laid_m + (plies - mine.plies) * lay.ply_m
            thick = spread_out(thick - lay.removed_m, count)
            cost = quantiles(spread_out(end.cost, count))
            yield Choice(
                part=panel.part,
                more=more,
                rounds=needed if more is None else more,
                thickness_m=quantiles(thick),
                reaches=float(np.mean(thick >= part.thickness * (1 - 1e-9))),
                cost=cost,
                days=quantiles(spread_out(end.days, count)),
                margin=contract.margin(cost[1].value),
            )


def middle_rounds(panel: Panel) -> int:
    """Rounds still needed in the middle of what can be."""
    gone = 0.0
    for rounds, share in panel.rounds_to_go:
        gone += share
        if gone >= HALF:
            return rounds
    return 0


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


def to_buy(build: Build, end: Ends, panels: tuple[Panel, ...], day: date, count: int) -> tuple[ToBuy, ...]:
    """Everything that is bought for the piece and is not there yet, the most urgent first."""
    items: dict[str, list[Filled]] = defaultdict(list)
    for one in build.lines:
        line = one.line
        bought = line.material and line.supplied == "bought"
        if (bought or (line.by_others and not one.logged)) and not one.lump:
            items[key(line.item)].append(one)
    bench = float(np.median(spread_out(end.bench_days, count)))
    rounds = max((float(n) for panel in panels for n, _ in panel.rounds_to_go), default=0.0)
    found = []
    for name, lines in items.items():
        had, to_go = (
            spread_out(total(of[one.line.id] for one in lines), count) for of in (end.had, end.to_go)
        )
        wanted, used = had + to_go, float(np.median(had))
        there = max(sum(one.bought for one in lines), used)
        half, eight = (float(np.maximum(np.quantile(wanted, level) - there, 0.0)) for level in (HALF, EIGHT))
        if eight <= LEAST_SHARE * max(float(np.max(wanted)), 1.0) or not np.any(to_go):
            continue
        middle = float(np.median(to_go))
        wait = int(_days_until_short(build, lines, there - used, middle, bench, rounds))
        packs, money, supplier, lead = _offered(build, lines[0].line, name, eight)
        ahead = int(np.ceil(lead)) - wait
        found.append(
            ToBuy(
                item=lines[0].line.item,
                unit=lines[0].line.unit,
                have=there - used,
                half=half,
                eight=eight,
                packs=packs,
                money=money,
                supplier=supplier,
                lead_days=lead,
                needed_by=day + timedelta(days=wait),
                order_by=day + timedelta(days=max(-ahead, 0)),
                late_days=max(ahead, 0),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.order_by, one.item)))


def _offered(build: Build, line: PricedLine, name: str, quantity: float) -> tuple[str, float, str, float]:
    """Packs, money, supplier and lead time [d] of so much of an item: by the price file, else as the plan bought it."""
    if rows := build.brief.book.get(name, ()):
        factor = purchase_factor(build.brief.shop)
        table = pack_table(tuple(Pack(row.pack or 0.0, row.price * factor) for row in rows))
        cover = table.bought(quantity)
        lead = max(row.lead_days for row in rows)
        return in_packs(cover, table, line.unit), cover.cost, rows[0].supplier, lead
    planned = next((row for row in build.piece.plan.buying if key(row.item) == name), None)
    supplier, lead = (planned.supplier, planned.lead_days) if planned is not None else ("", 0.0)
    return AS_ORDERED, quantity * line.rate, supplier, lead


def _days_until_short(
    build: Build, lines: list[Filled], stock: float, to_go: float, bench: float, rounds: float
) -> float:
    """Days until an item runs out [d]: rounds that the stock still serves, or the days of the bench before what follows it."""
    if all(chain_of(one.line.trade) in (COATING, FINISH) for one in lines):
        return bench
    if not all(one.line.id in build.by_round for one in lines) or rounds <= 0 or to_go <= 0:
        return 0.0
    return int(stock / (to_go / rounds) + 1e-6) * bench / rounds
