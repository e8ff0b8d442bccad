"""Column generation: patterns are made as the prices of pieces ask for them, until none can better the plan."""

from __future__ import annotations

from math import ceil, gcd, isfinite
from typing import TYPE_CHECKING, NamedTuple, Protocol

import numpy as np

from quoting.cutting.master import Master

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.cutting.limit import Limit
    from quoting.cutting.master import Duals
    from quoting.cutting.pattern import Offer, Pattern

ROUNDS = 2_000
TOO_LITTLE = 1e-7
"""Of a minor unit of money: a pattern that saves less is none."""


class Made(NamedTuple):
    """The best pattern of a stock at some worths of pieces, and a worth that no pattern of it exceeds."""

    pattern: Pattern
    most: float


class Maker(Protocol):
    """Finds the best pattern of a kind of stock at worths of the pieces; at most `wanted` of each where it can."""

    def __call__(self, stock: int, worths: np.ndarray, wanted: Sequence[int]) -> Made:
        """The pattern, at worths of pieces [minor units of money]."""
        ...


class Grown(NamedTuple):
    """A master with all patterns that the linear programme asked for, its bound and how often it uses each."""

    master: Master
    bound: int
    used: np.ndarray


def grown(
    wanted: Sequence[int], offers: Sequence[Offer], make: Maker, start: Sequence[Pattern], limit: Limit
) -> Grown:
    """Patterns by column generation, beginning with those of `start`. Where it is halted, the bound holds all the same."""
    dear = float(sum(wanted) * max(offer.price for offer in offers) + 1)
    master = Master(wanted, offers, dear)
    for pattern in start:
        master.add(pattern)
    bound = 0.0
    for _ in range(ROUNDS):
        duals, used = master.relaxed()
        made = [make(i, duals.pieces, wanted) for i in range(len(offers))]
        bound = max(bound, _bound(duals, wanted, offers, made))
        fresh = [
            one.pattern
            for one, offer, waived in zip(made, offers, duals.stocks, strict=True)
            if _worth(one.pattern, duals) > offer.price - waived + TOO_LITTLE * max(offer.price, 1)
        ]
        if not sum(master.add(pattern) for pattern in fresh) or limit.halted():
            break
    return Grown(master, rounded_bound(bound, offers), used)


def _worth(pattern: Pattern, duals: Duals) -> float:
    return float(np.dot(pattern.fill, duals.pieces))


def _bound(duals: Duals, wanted: Sequence[int], offers: Sequence[Offer], made: Sequence[Made]) -> float:
    """A price that no plan is below, of duals that need not be the last ones.

    Two feasible solutions of the dual programme: the worths scaled down until no pattern is worth more than its stock
    (Farley, A note on bounding a class of linear programming problems, Operations Research 38 (1990)); and the worths as
    they are, with what a pattern is worth above its stock paid for each stock there is. The better one is taken.
    """
    pieces = float(np.dot(duals.pieces, wanted))
    scale = min(
        [1.0, *(offer.price / one.most for offer, one in zip(offers, made, strict=True) if one.most > 0)]
    )
    above = [max(one.most - offer.price, 0.0) for offer, one in zip(offers, made, strict=True)]
    if all(offer.most is not None or not over for offer, over in zip(offers, above, strict=True)):
        paid = sum(over * (offer.most or 0) for offer, over in zip(offers, above, strict=True))
        return max(scale * pieces, pieces - paid)
    return scale * pieces


def rounded_bound(bound: float, offers: Sequence[Offer]) -> int:
    """Up to the next price that stocks can add up to: a multiple of what divides them all. 0 of no bound at all."""
    if not isfinite(bound) or bound <= 0:
        return 0
    step = gcd(*(offer.price for offer in offers)) or 1
    return ceil(bound / step - 1e-6) * step
