"""The price of a change: what it costs more or less, at the margin of the quote."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.money import exact, rounded_up
from quoting.pricing.chain import exact_up, fees_of, left_for_cost, trip_tax

if TYPE_CHECKING:
    from quoting.pricing.price_rules import Rules
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

    Difference of cost with reserve / (1 - margin - fees) x (1 + rush): the share left for cost of the price itself, in whole steps
    of the shop's prices, the same for there and back. What adds cost, or moves none, is charged at least `least`;
    what saves cost is given back in full. The surcharge of a longer or shorter trip comes on top.
    """
    rules = before.rules
    left = left_for_cost(rules)
    goods = (after.chain.with_reserve - before.chain.with_reserve) / left * (1 + rules.rush)
    trip = exact((after.chain.delivery_extra - before.chain.delivery_extra) / left, rules.digits)
    cost = _spent(after) - _spent(before)
    ruled_by = "margin"
    if cost >= 0 and goods + trip < least:
        goods, ruled_by = least - trip, "least charge"
    factor = 1 + rules.tax if rules.included else Decimal(1)
    seen = rounded_up(exact_up(abs(goods) * factor, rules.digits), rules.round_to)
    net, tax = _split(seen.copy_sign(goods), rules)
    return _priced(cost, net + trip, tax + trip_tax(trip, rules), rules, ruled_by)


def agreed_price(before: Priced, cost: Decimal, seen: Decimal) -> ChangePrice:
    """A change at the price that was agreed, as the shop shows prices: with tax in them, or without."""
    return _priced(cost, *_split(seen, before.rules), before.rules, "agreed")


def _split(seen: Decimal, rules: Rules) -> tuple[Decimal, Decimal]:
    """Net and tax of an amount as the client sees it."""
    net = exact(seen / (1 + rules.tax), rules.digits) if rules.included else exact(seen, rules.digits)
    return net, exact(seen - net if rules.included else net * rules.tax, rules.digits)


def _priced(cost: Decimal, net: Decimal, tax: Decimal, rules: Rules, ruled_by: str) -> ChangePrice:
    """With the shares of the sale that go off it; fixed fees were paid with the quote's own payments."""
    net, tax = net + 0, tax + 0  # takes the sign off a zero
    fees = sum(fees_of(net, net + tax, rules, fixed=False).values(), exact(0, rules.digits))
    return ChangePrice(cost, net, tax, fees, ruled_by)


def _spent(plan: Priced) -> Decimal:
    return plan.chain.with_reserve + plan.chain.delivery_extra
