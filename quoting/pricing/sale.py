"""A sale at any figure: what the client pays becomes net, tax and fees, by the rules of the price chain."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.money import exact
from quoting.pricing.chain import fees_of

if TYPE_CHECKING:
    from quoting.pricing.chain import Rules


class Sale(NamedTuple):
    """A piece sold at `seen`, the figure that the shop shows: with tax where it shows prices so."""

    seen: Decimal
    net: Decimal
    tax: Decimal
    fees: Decimal

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax

    @property
    def kept(self) -> Decimal:
        """What is left for cost and profit."""
        return self.net - self.fees


def sale_at(seen: Decimal, rules: Rules) -> Sale:
    """A sale at the figure shown, without discount. Nothing is paid for what is given away."""
    if rules.included:
        net = exact(seen / (1 + rules.tax), rules.digits)
        tax = seen - net
    else:
        net, tax = seen, exact(seen * rules.tax, rules.digits)
    fees = sum(fees_of(net, net + tax, rules).values(), Decimal(0)) if net else Decimal(0)
    return Sale(seen, net, tax, exact(fees, rules.digits))


def margin_of(sale: Sale, cost: float) -> float | None:
    """Share of the net price that is left after fees and a cost [money]; None for no price."""
    return float((float(sale.kept) - cost) / float(sale.net)) if sale.net else None
