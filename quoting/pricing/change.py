"""The price of a change: what it costs more or less, at the margin of the quote."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.money import exact, rounded_up
from quoting.pricing.chain import denominator, exact_up

if TYPE_CHECKING:
    from quoting.pricing.chain import Rules
    from quoting.pricing.record import Priced


class ChangePrice(NamedTuple):
    """What a change costs, and its price [money]. `ruled_by` is "margin", "least charge", or "agreed"."""

    cost: Decimal
    net: Decimal
    tax: Decimal
    fees: Decimal
    ruled_by: str

    @property
    def total(self) -> Decimal:
        """What the client pays for it, or gets back."""
        return self.net + self.tax


def change_price(before: Priced, after: Priced, least: Decimal) -> ChangePrice:
    """The price of going from one plan to another, by the rules of the quote.

    Difference of cost with reserve and trip / (1 - margin - fees): the same denominator as the price itself. What adds
    cost, or moves none, is charged at least `least`; what saves cost is given back in full. Rounded up to the step
    of the shop's prices.
    """
    rules = before.rules
    cost = _spent(after) - _spent(before)
    net = cost / denominator(rules)
    ruled_by = "margin"
    if cost >= 0:
        net *= 1 + rules.rush
        if net < least:
            net, ruled_by = least, "least charge"
    factor = 1 + rules.tax if rules.included else Decimal(1)
    seen = rounded_up(exact_up(net * factor, rules.digits), rules.round_to)
    return at_seen(before, cost, exact(seen, rules.digits), ruled_by)


def at_seen(before: Priced, cost: Decimal, seen: Decimal, ruled_by: str = "agreed") -> ChangePrice:
    """A change at the price that the client sees: with tax where the shop shows prices so, else without."""
    rules = before.rules
    net = exact(seen / (1 + rules.tax), rules.digits) if rules.included else seen
    tax = seen - net if rules.included else exact(net * rules.tax, rules.digits)
    return ChangePrice(cost, net, tax, _fees(rules, net, net + tax), ruled_by)


def _fees(rules: Rules, net: Decimal, total: Decimal) -> Decimal:
    """Shares of the sale that go off a change; fixed fees were paid with the quote's own payments."""
    return sum(
        (exact(fee.share * (total if fee.on == "total" else net), rules.digits) for fee in rules.fees),
        exact(0, rules.digits),
    )


def _spent(plan: Priced) -> Decimal:
    return plan.chain.with_reserve + plan.chain.delivery_extra
