"""From the margin that was quoted to the margin that was earned, step by step, with no residue."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from quoting.logbook.piece import Contract, Ordered, Piece, contract_of, counted_changes
from quoting.pricing.record import Priced
from quoting.review.lines import Spent

STEPS: dict[str, str] = {
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


class Bridge(NamedTuple):
    """The way from quoted to actual margin [money]: what each step does to it, above zero for the maker.

    `quoted` + all steps = `actual` exactly.
    """

    quoted: Decimal
    steps: dict[str, Decimal]
    actual: Decimal
    contract: Contract


def bridge(piece: Piece, lines: Sequence[Spent]) -> Bridge:
    """The bridge of a piece from its lines as they were."""
    sold, contract, zero = piece.sold, contract_of(piece), Decimal(0)
    steps = dict.fromkeys(STEPS, zero)
    counted = {one.entry.id for one in counted_changes(piece)}
    paid_for = sum((one.change.net for one in piece.changes if one.entry.id in counted), zero)
    steps["price"] = contract.net - sold.chain.net - paid_for
    plans = [*piece.former, piece.plan]
    for before, after, ordered in zip(plans, plans[1:], piece.changes, strict=False):
        net = ordered.change.net if ordered.entry.id in counted else zero
        steps[ruling(ordered)] += net - (planned_cost(after) - planned_cost(before))
    for one in lines:
        for kind, over in one.parts.items():
            steps[OF_LINES[kind]] -= over
    steps["fees"] -= contract.fees - sold.chain.fee_total
    steps["reserve"] = sold.cost["reserve"]
    cost = sum((one.actual for one in lines), zero)
    return Bridge(quoted_margin(sold), steps, contract.net - contract.fees - cost, contract)


def quoted_margin(sold: Priced) -> Decimal:
    """What the price was to leave after fees and cost with its reserve [money]."""
    chain = sold.chain
    return chain.net - chain.fee_total - chain.with_reserve - chain.delivery_extra


def planned_cost(plan: Priced) -> Decimal:
    """Cost by the plan, without a reserve, the whole trip in it [money]."""
    return plan.cost["planned"] + plan.chain.delivery_extra


def ruling(ordered: Ordered) -> str:
    """The step that a change belongs to: my own, or asked by the client, and paid at what it was reckoned to cost or not."""
    change = ordered.change
    if change.ruled == "mine":
        return "my_own"
    return "asked_and_paid" if change.net >= change.asked else "asked_not_paid"
