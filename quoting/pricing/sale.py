"""A sale at any figure: what the client pays becomes net, tax and fees, by the rules of the price chain."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from quoting.money import exact
from quoting.pricing.chain import fees_of
from quoting.pricing.price_rules import SET_ASIDE

if TYPE_CHECKING:
    from decimal import Decimal

    from quoting.pricing.price_rules import Rules


class Sale(NamedTuple):
    """A piece sold at `seen`, the figure that the shop shows: with tax where it shows prices so.

    `fees` go to others; `set_aside` is what the shop keeps for mending, returns and bad debt.
    """

    seen: Decimal
    net: Decimal
    tax: Decimal
    fees: Decimal
    set_aside: Decimal

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax

    @property
    def kept(self) -> Decimal:
        """What is left for cost and profit."""
        return self.net - self.fees - self.set_aside

    @property
    def in_hand(self) -> Decimal:
        """What reaches the maker's hand."""
        return self.net - self.fees


def sale_at(seen: Decimal, rules: Rules) -> Sale:
    """A sale at the figure shown, without discount. Nothing is paid for what is given away."""
    if rules.included:
        net = exact(seen / (1 + rules.tax), rules.digits)
        tax = seen - net
    else:
        net, tax = seen, exact(seen * rules.tax, rules.digits)
    all_fees = fees_of(net, net + tax, rules) if net else {}
    zero = exact(0, rules.digits)
    aside = sum((amount for name, amount in all_fees.items() if name in SET_ASIDE), zero)
    return Sale(seen, net, tax, sum(all_fees.values(), zero) - aside, aside)


def margin_of(sale: Sale, cost: float) -> float | None:
    """Share of the net price that is left after fees and a cost [money]; None for no price."""
    return float((float(sale.kept) - cost) / float(sale.net)) if sale.net else None
