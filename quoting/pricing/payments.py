"""The payments that a price falls due in, by the terms of the shop."""

from decimal import Decimal
from typing import NamedTuple

from quoting.errors import refused
from quoting.job.selling import PaymentTerm
from quoting.money import exact, shared_out
from quoting.pricing.chain import share


class Payment(NamedTuple):
    """One payment of the client."""

    name: str
    net: Decimal
    tax: Decimal
    due: str

    @property
    def total(self) -> Decimal:
        """What is paid."""
        return self.net + self.tax


def payments(terms: tuple[PaymentTerm, ...], net: Decimal, tax: Decimal, digits: int) -> list[Payment]:
    """Net and tax over the terms by largest remainder; amounts first, shares of what is left.

    An amount is what the client pays, tax included. Tax of a term taxed on delivery falls due with
    the last one. Raises Problems where amounts exceed the total.
    """
    total = net + tax
    nets: dict[int, Decimal] = {}
    taxes: dict[int, Decimal] = {}
    for i, term in enumerate(terms):
        if term.amount is not None:
            nets[i], taxes[i] = fixed_part(term, waits_with_tax(terms, i), net, tax, digits)
    left_net, left_tax = net - sum(nets.values(), Decimal(0)), tax - sum(taxes.values(), Decimal(0))
    if left_net < 0 or left_tax < 0:
        words = f"found amounts of {total - left_net - left_tax} for {net} net and {tax} of tax"
        amounts = total - left_net - left_tax
        raise refused(
            "terms.payments", words, "write smaller amounts, or shares",
            code="too_large", amounts=amounts, net=net, tax=tax,
        )  # fmt: skip
    open_terms = [i for i in range(len(terms)) if i not in nets]
    weights = [share(terms[i].share or 0.0) for i in open_terms]
    nets |= dict(zip(open_terms, shared_out(left_net, weights, digits), strict=True))
    taxes |= dict(zip(open_terms, shared_out(left_tax, weights, digits), strict=True))
    for i in range(len(terms)):
        if waits_with_tax(terms, i):
            taxes[len(terms) - 1] += taxes[i]
            taxes[i] = exact(0, digits)
    return [Payment(term.name, nets[i], taxes[i], term.due) for i, term in enumerate(terms)]


def waits_with_tax(terms: tuple[PaymentTerm, ...], position: int) -> bool:
    """True for a term whose tax falls due with the last one."""
    return terms[position].taxed == "on delivery" and position < len(terms) - 1


def fixed_part(
    term: PaymentTerm, untaxed: bool, net: Decimal, tax: Decimal, digits: int
) -> tuple[Decimal, Decimal]:
    """Net and tax in a payment of a fixed amount: in proportion, or all of it net where its tax waits."""
    amount = exact(share(term.amount or 0.0), digits)
    total = net + tax
    of_net = amount if untaxed or not total else exact(amount * net / total, digits)
    return of_net, amount - of_net
