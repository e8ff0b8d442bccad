"""What a piece brings in: the price that was agreed, and its changes."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.ledger.states import ACCEPTED, BOUND, CANCELLED, ON_CONSIGNMENT, OPEN, OWN_STOCK, SOLD
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.pricing.record import Priced
    from quoting.review.piece import Piece


class Contract(NamedTuple):
    """Money that a piece brings: net, its tax, and the fees that go off the net. `firm` where somebody owes it."""

    net: Decimal
    tax: Decimal
    fees: Decimal
    firm: bool

    @property
    def total(self) -> Decimal:
        """What the client pays."""
        return self.net + self.tax


def contract_of(piece: Piece) -> Contract:
    """The quote with its agreed changes; the price of a piece that was sold; what is kept of one that was cancelled.

    An open quote and a piece for sale stand with the price asked. Nothing for what is declined, withdrawn, written off.
    """
    chain, standing = piece.sold.chain, piece.standing
    money = standing.entry.money if standing.entry is not None else None
    if standing.deal == CANCELLED:
        return at_total(piece.sold, money or Decimal(0), firm=True)
    if standing.deal == SOLD and money is not None:
        return at_total(piece.sold, money, firm=True)
    if standing.deal not in (*BOUND, *OWN_STOCK, ON_CONSIGNMENT, OPEN):
        return at_total(piece.sold, Decimal(0), firm=False)
    changes = [one.change for one in piece.changes]
    zero = Decimal(0)
    return Contract(
        chain.net + sum((one.net for one in changes), zero),
        chain.tax + sum((one.tax for one in changes), zero),
        chain.fee_total + sum((one.fees for one in changes), zero),
        standing.deal in (ACCEPTED, SOLD),
    )


def at_total(sold: Priced, total: Decimal, firm: bool) -> Contract:
    """A contract at another total: tax in the proportion of the quote, fees by the rules of the quote."""
    chain, digits = sold.chain, sold.digits
    net = exact(total * chain.net / chain.total, digits) if chain.total else total
    return Contract(net, total - net, fees_on(sold, net, total) if total else exact(0, digits), firm)


def fees_on(sold: Priced, net: Decimal, total: Decimal, fixed: bool = True) -> Decimal:
    """Fees of a sale by the rules of its quote; without their fixed part for what is added to a sale."""
    return sum(
        (
            exact(
                fee.share * (total if fee.on == "total" else net) + (fee.fixed if fixed else 0), sold.digits
            )
            for fee in sold.rules.fees
        ),
        exact(0, sold.digits),
    )
