"""Payments: net and tax split so that both foot."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.money import exact, shared_out
from quoting.pricing.price_rules import share

if TYPE_CHECKING:
    from quoting.inputs.selling import Stage


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


def payments(stages: tuple[Stage, ...], net: Decimal, tax: Decimal, digits: int) -> list[Payment]:
    """Net and tax over the stages by largest remainder; amounts first, shares of what is left.

    An amount is what the client pays, tax included. Tax of a stage taxed on delivery falls due with
    the last one. Raises Problems where amounts exceed the total.
    """
    total = net + tax
    nets: dict[int, Decimal] = {}
    taxes: dict[int, Decimal] = {}
    for i, stage in enumerate(stages):
        if stage.amount is not None:
            nets[i], taxes[i] = fixed_part(stage, waits_with_tax(stages, i), net, tax, digits)
    left_net, left_tax = net - sum(nets.values(), Decimal(0)), tax - sum(taxes.values(), Decimal(0))
    if left_net < 0 or left_tax < 0:
        words = f"found amounts of {total - left_net - left_tax} for {net} net and {tax} of tax"
        raise Problems([Problem("terms.stages", words, "write smaller amounts, or shares")])
    open_stages = [i for i in range(len(stages)) if i not in nets]
    weights = [share(stages[i].share or 0.0) for i in open_stages]
    nets |= dict(zip(open_stages, shared_out(left_net, weights, digits), strict=True))
    taxes |= dict(zip(open_stages, shared_out(left_tax, weights, digits), strict=True))
    for i in range(len(stages)):
        if waits_with_tax(stages, i):
            taxes[len(stages) - 1] += taxes[i]
            taxes[i] = exact(0, digits)
    return [Payment(stage.name, nets[i], taxes[i], stage.due) for i, stage in enumerate(stages)]


def waits_with_tax(stages: tuple[Stage, ...], position: int) -> bool:
    """True for a stage whose tax falls due with the last one."""
    return stages[position].taxed == "on delivery" and position < len(stages) - 1


def fixed_part(
    stage: Stage, untaxed: bool, net: Decimal, tax: Decimal, digits: int
) -> tuple[Decimal, Decimal]:
    """Net and tax in a payment of a fixed amount: in proportion, or all of it net where its tax waits."""
    amount = exact(share(stage.amount or 0.0), digits)
    total = net + tax
    of_net = amount if untaxed or not total else exact(amount * net / total, digits)
    return of_net, amount - of_net
