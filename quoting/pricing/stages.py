"""Payments: net and tax split so that both foot."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from quoting.errors import Problem, Problems
from quoting.money import exact, shared_out
from quoting.pricing.chain import share

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
            amount = exact(share(stage.amount), digits)
            nets[i] = exact(amount * net / total, digits) if total else Decimal(0)
            taxes[i] = amount - nets[i]
    left_net, left_tax = net - sum(nets.values(), Decimal(0)), tax - sum(taxes.values(), Decimal(0))
    if left_net + left_tax < 0:
        words = f"found amounts of {total - left_net - left_tax} for a total of {total}"
        raise Problems([Problem("terms.stages", words, "write smaller amounts, or shares")])
    open_stages = [i for i in range(len(stages)) if i not in nets]
    weights = [share(stages[i].share or 0.0) for i in open_stages]
    nets |= dict(zip(open_stages, shared_out(left_net, weights, digits), strict=True))
    taxes |= dict(zip(open_stages, shared_out(left_tax, weights, digits), strict=True))
    for i, stage in enumerate(stages[:-1]):
        if stage.taxed == "on delivery":
            taxes[len(stages) - 1] += taxes[i]
            taxes[i] = Decimal(0)
    return [Payment(stage.name, nets[i], taxes[i], stage.due) for i, stage in enumerate(stages)]
