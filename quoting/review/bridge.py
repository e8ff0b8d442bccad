"""From the margin that was quoted to the one that was earned, line by line and step by step, with no residue."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Generic, NamedTuple, TypeVar

from quoting.costing.model import cost
from quoting.forecast.build import Build, quantities, so_far
from quoting.logbook.filled import Filled, charged, follows
from quoting.logbook.in_hand import remaining, unrecorded
from quoting.logbook.piece import Contract, Piece, contract_of, counted_changes
from quoting.logbook.plan_lines import TRIP, of_stage
from quoting.money import exact, step
from quoting.pick import likely
from quoting.pricing.record import PricedLine

Amount = TypeVar("Amount", float, Decimal)

STEPS = {
    "price": "price and discount",
    "asked_and_paid": "changes asked and paid",
    "asked_not_paid": "changes asked and not paid in full",
    "my_own": "changes of my own",
    "scope": "scope: plies, rounds, parts",
    "usage": "usage of material",
    "prices_paid": "prices paid",
    "by_receipt": "material paid without a count, usage and price together",
    "hours": "hours by task",
    "pay_rate": "pay rate",
    "machine": "machine",
    "setbacks": "setbacks",
    "overhead": "overhead and sundries on the hours",
    "delivery": "delivery",
    "fees": "fees and waiting money",
    "reserve": "reserve, which the quote counted as cost",
}
"""Steps of the bridge in printed order."""

OF_LINES = {
    "scope": "scope", "usage": "usage", "price": "prices_paid", "lump": "by_receipt", "time": "hours", "pay": "pay_rate",
    "machine": "machine", "setback": "setbacks", "overhead": "overhead", "delivery": "delivery", "waiting": "fees",
}  # fmt: skip
"""The step that a part of a line belongs to."""

KINDS = tuple(OF_LINES)
"""What a difference of a line comes from."""


class TwoWay(NamedTuple, Generic[Amount]):
    """Parts of actual cost less standard cost [money]: above zero is over the standard, for costs unfavourable.

    They sum to actual less standard exactly: what both cause together stands in `price`.
    """

    price: Amount
    quantity: Amount


def two_way(*, actual: Amount, at_standard_price: Amount, standard: Amount) -> TwoWay[Amount]:
    """Price and quantity variance from AQ x AP, AQ x SP and SQ x SP [money]: AQ (AP - SP) and (AQ - SQ) SP (OpenStax, Principles
    of Accounting 2, chapter 8).

    Of material that is price and usage, of labour rate and time, of machines and overhead spending and efficiency; with
    budget for standard, and the sign turned, sales price and sales volume.
    """
    return TwoWay(actual - at_standard_price, at_standard_price - standard)


class Spent(NamedTuple):
    """A line of a finished piece. `standard` is what the work that was done should have taken, at the plan's inputs; of lines that
    no round moves it is the plan. Quantities in the unit of the line, amounts [money].

    `missing` of the actual amount was not recorded, `to_come` is still to be spent. `parts` are what actual less planned amount is made
    of, by kind, to the last minor unit; above zero is over the plan.
    """

    line: PricedLine
    standard_quantity: float
    quantity: float
    planned: Decimal
    standard: Decimal
    actual: Decimal
    recorded: bool
    missing: Decimal
    to_come: Decimal
    parts: Mapping[str, Decimal]

    @property
    def over(self) -> Decimal:
        """Actual less planned [money]."""
        return self.actual - self.planned

    @property
    def open(self) -> Decimal:
        """What of it no entry tells of [money]."""
        return self.missing + self.to_come


def spent_lines(build: Build) -> tuple[Spent, ...]:
    """Every line of a piece, with what is still to come or was not recorded taken at the plan of what was done."""
    piece = build.piece
    standards = standard_quantities(build)
    flexed = tuple(_at(one, standards) for one in build.lines)
    missing, to_come, zero = unrecorded(piece, flexed), remaining(piece, flexed), Decimal(0)
    return tuple(
        _spent(build, one, standards.get(id), missing.get(id, zero), to_come.get(id, zero))
        for id, one in ((one.line.id, one) for one in build.lines)
    )


def standard_quantities(build: Build) -> dict[str, float]:
    """Quantity of lines that grow by rounds, at the plan's inputs and the plies and rounds that were really laid."""
    if not build.by_round:
        return {}
    planned, laid = quantities(cost(build.brief, likely)), quantities(so_far(build, likely))
    by_id = {one.line.id: one.line for one in build.lines}
    return {
        id: by_id[id].quantity + float(laid[id]) - float(planned[id]) for id in build.by_round if id in by_id
    }


def _at(one: Filled, standards: Mapping[str, float]) -> Filled:
    quantity = standards.get(one.line.id, one.line.quantity)
    return one._replace(line=one.line._replace(quantity=quantity))


def _spent(build: Build, one: Filled, flexed: float | None, missing: Decimal, to_come: Decimal) -> Spent:
    """`flexed` is the standard quantity of a line that grows by rounds."""
    line, plan = one.line, build.piece.plan
    planned = line.amount + (plan.chain.delivery_extra if line.id == TRIP else Decimal(0))
    standard = planned if flexed is None else exact(flexed * line.rate, plan.digits)
    actual = one.amount + missing + to_come
    quantity = one.quantity
    if line.material:
        quantity = charged(line, quantity, one.spoiled, one.bought, build.progress.behind(line))
    if line.rate:
        quantity += float(missing + to_come) / line.rate
    at_plan = exact(quantity * line.rate, plan.digits)
    parts = _parts(one, planned, standard, actual, at_plan, step(plan.digits))
    kept = {kind: amount for kind, amount in parts.items() if amount}
    at = line.quantity if flexed is None else flexed
    return Spent(line, at, quantity, planned, standard, actual, one.logged, missing, to_come, kept)


WHOLE = {
    "setback": "setback", "carriage": "price", "delivery_carried": "delivery", "channel": "waiting",
}  # fmt: skip
"""Groups of lines whose difference is of one kind as a whole."""


def _parts(
    one: Filled, planned: Decimal, standard: Decimal, actual: Decimal, at_plan: Decimal, unit: Decimal
) -> dict[str, Decimal]:
    """What a line's actual less planned amount is made of, by kind. `at_plan` is what was taken at the plan's rate, `unit` the
    smallest amount of the currency.
    """
    line, over = one.line, actual - planned
    if rule := follows(line):
        return {"overhead" if rule == "hours" else "usage": over}
    if line.by_others or line.trade in WHOLE:
        return {"price" if line.by_others else WHOLE[line.trade]: over}
    if of_stage(line):
        return {"time": over}
    if not line.quantity:
        return {"scope": over}
    split = two_way(actual=actual, at_standard_price=at_plan, standard=standard)
    scope = {"scope": standard - planned}
    if line.trade == "machine":
        return {**scope, "machine": actual - standard}
    if line.trade == "labour":
        if abs(split.price) <= one.entries * unit:  # hours of each entry were rounded to money by themselves
            return {**scope, "time": actual - standard}
        return {**scope, "time": split.quantity, "pay": split.price}
    if one.lump:
        return {**scope, "lump": actual - standard}
    return {**scope, "usage": split.quantity, "price": split.price}


def stages_logged(lines: Sequence[Spent]) -> set[str]:
    """Stages of which hours were logged without a task."""
    return {one.line.stage for one in lines if of_stage(one.line)}


def stage_of(one: Spent, stages: set[str]) -> str:
    """The stage whose hours stand for a line of labour: its own hours, or a task that nobody logged; else ""."""
    line = one.line
    stands = line.trade == "labour" and line.stage in stages and (of_stage(line) or not one.recorded)
    return line.stage if stands else ""


class Bridge(NamedTuple):
    """The way from quoted to actual margin [money]: what each step does to it, above zero for the maker.

    `quoted` + all steps = `actual` exactly.
    """

    quoted: Decimal
    steps: dict[str, Decimal]
    actual: Decimal
    contract: Contract


def bridge(piece: Piece, lines: Sequence[Spent]) -> Bridge:
    """The bridge of a piece from its lines as they were. A change is my own, or asked by the client, and then paid at what it was
    reckoned to cost or not.
    """
    sold, contract, zero = piece.sold, contract_of(piece), Decimal(0)
    steps = dict.fromkeys(STEPS, zero)
    counted = {one.entry.id for one in counted_changes(piece)}
    paid_for = sum((one.change.net for one in piece.changes if one.entry.id in counted), zero)
    steps["price"] = contract.net - sold.chain.net - paid_for
    plans = [*piece.former, piece.plan]
    for before, after, ordered in zip(plans, plans[1:], piece.changes, strict=False):
        net = ordered.change.net if ordered.entry.id in counted else zero
        asked = "asked_and_paid" if ordered.change.net >= ordered.change.asked else "asked_not_paid"
        ruling = "my_own" if ordered.change.ruled == "mine" else asked
        steps[ruling] += net - (after.planned_cost - before.planned_cost)
    for one in lines:
        for kind, over in one.parts.items():
            steps[OF_LINES[kind]] -= over
    steps["fees"] -= contract.fees - sold.chain.fee_total
    steps["reserve"] = sold.cost["reserve"]
    cost = sum((one.actual for one in lines), zero)
    quoted = sold.chain.net - sold.chain.fee_total - sold.chain.spent
    return Bridge(quoted, steps, contract.left - cost, contract)
