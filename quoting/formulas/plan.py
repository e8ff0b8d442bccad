"""The plan of a job in numbers that remember: what the workbook's formulas are written from."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from quoting.costing.lines import Line, own_quantity
from quoting.costing.model import Cost, cost
from quoting.costing.rates import Rate, machine_rate, overhead_rate, pay_rate
from quoting.costing.shared import trip_beyond
from quoting.costing.shelf import bought_needs, shelves
from quoting.formulas.inputs import Input, Leaves
from quoting.formulas.number import Number, Trace, value_of
from quoting.job.brief import Brief
from quoting.job.rules import reserve_share
from quoting.job.stock import Price
from quoting.pick import likely, listening
from quoting.pricing.lists import at_own_price
from quoting.trades.parts import parts
from quoting.trades.registry import trades
from quoting.values import key


class Bought(NamedTuple):
    """A line of the buying list: its item and unit, what is needed and bought of it, what that costs."""

    item: str
    supplier: str
    unit: str
    needed: Any
    bought: Any
    costs: list[Any]
    pack: float | None


def bought_live(run: Cost, brief: Brief) -> Iterator[Bought]:
    """The lines of the buying list in the order of `pricing.buying`, carriage that may yet fall due included."""
    needs = bought_needs(run.needed.needs)
    for shelf in shelves(needs, brief).values():
        if value_of(shelf.needed) > 0:
            single = len(shelf.table.packs) == 1 and shelf.table.loose is None
            pack = shelf.table.packs[0].size if single else None
            row = shelf.rows[0]
            units, paid = shelf.table.got(shelf.needed), shelf.table.cost(shelf.needed)
            yield Bought(row.item, row.supplier, row.unit.name, shelf.needed, units, [paid], pack)
    for (item, supplier, unit), those in at_own_price(needs).items():
        quantity = sum(own_quantity(need) for need in those)
        yield Bought(item, supplier, unit, quantity, quantity, [need.price for need in those], None)
    for line in run.lines:
        if line.group == "carriage":
            supplier = line.item.partition(", ")[2]
            yield Bought(line.item, supplier, "order", line.quantity, line.quantity, [line.amount], None)


def moving_the_reserve(costs: Iterable[Any], uncertain: frozenset[str]) -> frozenset[str]:
    """Names of the live inputs that would move a reserve drawn over the sum of `costs`.

    The reserve is what 8 in 10 draws cost less what the plan costs. An amount that is only added moves both
    alike, and so leaves it as it is; a factor of something uncertain does not, nor does an uncertain input.
    """
    reached: dict[int, frozenset[str]] = {}
    return frozenset().union(*(_moving(one, uncertain, reached) for one in costs))


def _moving(one: Any, uncertain: frozenset[str], reached: dict[int, frozenset[str]]) -> frozenset[str]:
    if not isinstance(one, Number) or not one.inputs & uncertain:
        return frozenset()
    if id(one) not in reached:
        if one.op == "+":
            found = frozenset().union(*(_moving(part, uncertain, reached) for part in one.args))
        elif one.op in ("*", "/") and (factor := _certain_factor(one, uncertain)) is not None:
            # c x (u + ...): what is added within stays added, and c itself weighs the uncertain part.
            found = _moving(factor[1], uncertain, reached) | factor[0]
        else:
            found = one.live
        reached[id(one)] = found
    return reached[id(one)]


def _certain_factor(one: Number, uncertain: frozenset[str]) -> tuple[frozenset[str], Any] | None:
    """The live inputs of the factor that is certain, and the other factor; None where both are uncertain."""
    first, second = one.args
    for factor, other in ((first, second), (second, first)):
        inputs = factor.inputs if isinstance(factor, Number) else frozenset()
        if not inputs & uncertain and not (one.op == "/" and other is second):
            return (factor.live if isinstance(factor, Number) else frozenset()), other
    return None


@dataclass(frozen=True, slots=True)
class LivePlan:
    """Lines, rates and the buying list in numbers that remember.

    `leaves` and `inputs` are what the lines rest on, by path. `fixed` are inputs that the run could not follow,
    for they move rounds or packs in steps; `guarded` those that move a drawn reserve, which a sheet
    cannot draw anew. `uncertain` are the inputs with a range where a reserve is drawn over them. `pack_prices` are those of
    everything bought that comes in several packs: which of them are bought moves in steps.
    """

    lines: tuple[Line, ...]
    operations: Mapping[str, str]
    rates: Mapping[str, Rate]
    bought: tuple[Bought, ...]
    pack_prices: tuple[Price, ...]
    trip_beyond: Any
    inputs: Mapping[str, Input]
    leaves: Mapping[str, Number]
    fixed: frozenset[str]
    guarded: frozenset[str]
    uncertain: frozenset[str]

    def moves_reserve(self, line: Line) -> bool:
        """True for a line whose quantity is uncertain where the reserve is drawn.

        Where rounds or packs could not be followed, all lines of the resin trades are.
        """
        one: Any = line.quantity
        in_steps = bool(self.fixed & self.uncertain) and _of_resin(line)
        return in_steps or (isinstance(one, Number) and bool(one.inputs & self.uncertain))


def live_plan(brief: Brief) -> LivePlan:
    """The plan of a job, reckoned by the one model over numbers that remember.

    An input that the run cannot follow is fixed, and the run is made again without it.
    """
    asked = brief.job.price.reserve or brief.shop.pricing.reserve
    drawn = _uncertain(brief) if reserve_share(asked) is None else frozenset()
    fixed: set[str] = set()
    while True:
        trace = Trace()
        found = _run(brief, Leaves(trace, frozenset(fixed)), drawn)
        if trace.stopped <= fixed:
            return found
        fixed |= trace.stopped


def _run(brief: Brief, leaves: Leaves, drawn: frozenset[str]) -> LivePlan:
    with_leaves = leaves.brief(brief)
    run = cost(with_leaves, likely)
    shop = with_leaves.shop
    rates = {f"pay.{who}": pay_rate(pay) for who, pay in shop.pay.items()}
    rates["overhead"] = overhead_rate(shop.overhead)
    rates |= {f"machine.{name}": machine_rate(machine) for name, machine in shop.machine.items()}
    bought = tuple(bought_live(run, with_leaves))
    booked = (brief.book.get(key(one.item), ()) for one in bought)
    beyond = trip_beyond(with_leaves, likely)
    figures: list[Any] = [beyond, *(rate.per_hour for rate in rates.values())]
    figures += [one for line in run.lines for one in (line.quantity, line.rate)]
    # a sentence also shows what came to nothing, such as resin on cloth outside a panel that has none
    figures += [one for line in run.lines for one in line.basis.numbers.values()]
    figures += [one for line in bought for one in (line.needed, line.bought, *line.costs)]
    used = frozenset().union(*(one.inputs for one in figures if isinstance(one, Number)))
    inputs = {path: one for path, one in leaves.found.items() if path in used}
    return LivePlan(
        lines=run.lines,
        operations={need.id: need.operation for need in run.needed.needs},
        rates=rates,
        bought=bought,
        pack_prices=tuple(row for rows in booked if len(rows) > 1 for row in rows),
        trip_beyond=beyond,
        inputs=inputs,
        leaves={path: leaves.trace.leaf(path, one.value, True) for path, one in inputs.items()},
        fixed=leaves.fixed,
        guarded=_inputs_moving(run, leaves.fixed, drawn) if drawn else frozenset(),
        uncertain=drawn,
    )


def _uncertain(brief: Brief) -> frozenset[str]:
    """Names of all inputs that are drawn."""
    asked: dict[str, Any] = {}
    cost(brief, listening(likely, asked))
    return frozenset(asked) | {
        f"{trade}.{one.id}.chance" for trade, one in parts(brief.job) if hasattr(one, "chance")
    }


def _inputs_moving(run: Cost, fixed: frozenset[str], uncertain: frozenset[str]) -> frozenset[str]:
    """Inputs that a drawn reserve rests on. Where rounds or packs could not be followed, all of their lines."""
    found = moving_the_reserve((line.amount for line in run.lines), uncertain)
    if fixed & uncertain:
        touched: list[Any] = [line.amount for line in run.lines if _of_resin(line)]
        found = found.union(*(one.live for one in touched if isinstance(one, Number)))
    return found


def _of_resin(line: Line) -> bool:
    name = line.id.partition(".")[0]
    return any(
        one.resin and name in (one.name, *(group.name for group in one.groups)) for one in trades().values()
    )
