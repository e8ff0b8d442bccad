"""Lists and sums of a priced job: what is cut and made, what to buy, in which packs, from whom and by when; quantities, cost, days."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from quoting.costing.lines import own_quantity
from quoting.costing.model import Cost
from quoting.costing.needs import take_offs
from quoting.costing.packs import Cover, PackTable
from quoting.costing.shelf import Shelf, bought_needs, shelves
from quoting.declaration import Trade
from quoting.job.brief import Brief
from quoting.job.job import Job
from quoting.money import exact
from quoting.pick import likely
from quoting.pricing.bench_record import Cut
from quoting.pricing.record import Buying, PricedLine
from quoting.takeoff.needs import Need
from quoting.trades.registry import trades

SIDES = ("length", "width", "thickness", "depth")

AS_ORDERED = "as ordered"
"""The packs of a thing at a price of its own."""

REST = ("labour", "machine", "sundries", "carriage", "channel", "overhead", "delivery_carried")
"""Groups of lines that belong to no trade's material, below those that do."""


def cuts(brief: Brief) -> Iterator[Cut]:
    """Every part of all pieces together, in printed order."""
    for taken in take_offs(brief, likely):
        trade, part, path = trades()[taken.trade], taken.part, f"{taken.trade}.{taken.part.id}"
        if not trade.made:
            continue
        # of what goes by measure, lines say how much there is
        pieces = 0 if trade.by_measure else getattr(part, "quantity", 1) * taken.times
        sides = tuple(side for name in SIDES if isinstance(side := getattr(part, name, None), float))
        cut = Cut(path, taken.trade, part.part, pieces, sides, ())
        if trade.rough:
            rough, staves, layers = trade.named(trade.rough)(part, brief.shop, path in brief.tables.yields)
            cut = cut._replace(rough_m=rough, staves=staves, layers=layers)
        yield cut


def buying(run: Cost, brief: Brief, day: date, digits: int) -> list[Buying]:
    """Everything that is bought for a job, item by item; whole packs where the price file has packs."""
    bought = bought_needs(run.needed.needs)
    some = (shelf for shelf in shelves(bought, brief).values() if float(shelf.needed) > 0)
    from_book = [_from_book(shelf, brief, day, digits) for shelf in some]
    return [*from_book, *_as_ordered(bought, digits), *_carriage(run, digits)]


def _from_book(shelf: Shelf, brief: Brief, day: date, digits: int) -> Buying:
    cover = shelf.table.bought(float(shelf.needed))
    row = shelf.rows[0]
    oldest = min((one.dated for one in shelf.rows if one.dated), default=None)
    stale = oldest is not None and (day - oldest).days > brief.shop.pricing.stale_after
    return Buying(
        row.item, float(shelf.needed), cover.units, row.unit.name, in_packs(cover, shelf.table, row.unit.name), exact(cover.cost, digits),
        row.supplier, max(one.lead_days for one in shelf.rows), str(oldest or ""), stale,
    )  # fmt: skip


def in_packs(cover: Cover, table: PackTable, unit: str) -> str:
    """The packs that cover a quantity, in words."""
    counts = zip(cover.packs, table.packs, strict=False)
    return " + ".join(f"{number} x {pack.size:g} {unit}" for number, pack in counts if number) or "any amount"


def at_own_price(needs: list[Need]) -> dict[tuple[str, str, str], list[Need]]:
    """Things at a price of their own, by item, supplier and unit: glass, outside work, bought things."""
    same: dict[tuple[str, str, str], list[Need]] = defaultdict(list)
    for need in needs:
        if need.price is not None:
            same[need.item, need.supplier, need.unit[0]].append(need)
    return same


def _as_ordered(needs: list[Need], digits: int) -> Iterator[Buying]:
    for (item, supplier, unit), those in at_own_price(needs).items():
        quantity = sum(float(own_quantity(need)) for need in those)
        paid = sum((exact(float(need.price or 0.0), digits) for need in those), exact(0, digits))
        lead = max(need.lead_days for need in those)
        yield Buying(item, quantity, quantity, unit, AS_ORDERED, paid, supplier, lead, "", False)


def _carriage(run: Cost, digits: int) -> Iterator[Buying]:
    """Carriage that must be paid with the orders."""
    for line in run.lines:
        if line.group == "carriage" and float(line.amount) > 0:
            supplier = line.item.partition(", ")[2]
            paid = exact(float(line.amount), digits)
            yield Buying(line.item, 1.0, 1.0, "order", "with the order", paid, supplier, 0.0, "", False)


def answering(job: Job) -> list[Trade]:
    """Trades whose figures stand in the answer to a job: those that always do, and those that it has parts of."""
    return [one for name, one in trades().items() if one.always or name in job.parts]


def fact_names(job: Job) -> list[str]:
    """Quantities that are added up for a job, in printed order."""
    return list(dict.fromkeys(fact.name for one in answering(job) for fact in one.facts))


def quantities(run: Cost, brief: Brief, to_buy: list[Buying]) -> dict[str, float]:
    """The quantities as data: units in their names, of all pieces; mass of one."""
    week = brief.shop.shop.week
    bench = float(run.bench_days(week.hours))
    facts = {name: float(run.needed.facts.get(name, 0.0)) for name in fact_names(brief.job)}
    return facts | {
        "labour_hours": float(run.labour_h),
        "machine_hours": float(run.machine_h),
        "mass_kg": float(run.needed.mass_kg),
        "bench_days": bench,
        "lead_days": days_until_begun(brief.shop.shop.booked_ahead, to_buy) + bench,
    }


def days_until_begun(booked_d: float, to_buy: Iterable[Buying]) -> float:
    """Days from the order until the build begins [d]: what is booked, or the longest supplier's lead.

    Things are ordered at once and come while other work is done; nothing is built of what is not there.
    """
    return max((booked_d, *(line.lead_days for line in to_buy)))


def costs_by_group(
    job: Job, lines: tuple[PricedLine, ...], reserve: Decimal, to_buy: list[Buying], digits: int
) -> dict[str, Decimal]:
    """Cost by group, and the three totals: replacement value, own cost, cash now."""
    zero = exact(0, digits)
    own = (group.name for one in answering(job) for group in one.groups)
    costs = dict.fromkeys((*own, *REST), zero)
    for line in lines:
        costs[line.trade] += line.amount
    planned = sum((line.amount for line in lines), Decimal(0))
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
