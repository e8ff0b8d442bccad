"""Column generation: patterns are made as the prices of pieces ask for them; the best fill of one bar, by knapsack."""

from __future__ import annotations

from math import ceil, gcd, isfinite
from typing import TYPE_CHECKING, NamedTuple, Protocol

import numpy as np

from quoting.nesting.master import Master

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.nesting.master import Duals
    from quoting.nesting.pattern import Limit, Offer, Pattern


NO_WORTH = 1e-12
LOOKED_EACH = 20
"""Branches that are looked at for each fill that is wanted at most."""


ROUNDS = 2_000
TOO_LITTLE = 1e-7
"""Of a minor unit of money: a pattern that saves less is none."""


def best_fill(
    values: Sequence[float], sizes: Sequence[int], counts: Sequence[int], capacity: int
) -> tuple[float, list[int]]:
    """The greatest sum of values whose sizes [steps] fit into a capacity [steps], and how often each piece is in it.

    Bounded knapsack by dynamic programming over 0 .. capacity; counts are split into packs of 1, 2, 4 ... pieces
    (Martello and Toth, Knapsack Problems, 1990, section 3.4; from memory).
    """
    best = np.zeros(capacity + 1)
    taken: list[tuple[int, int, np.ndarray]] = []
    for i, many in _packs(values, sizes, counts, capacity):
        size = many * sizes[i]
        with_it = best[: capacity + 1 - size] + many * values[i]
        better = with_it > best[size:] + NO_WORTH
        best[size:] = np.where(better, with_it, best[size:])
        taken.append((i, many, better))
    fill, left = [0] * len(values), capacity
    for i, many, better in reversed(taken):
        size = many * sizes[i]
        if left >= size and better[left - size]:
            fill[i] += many
            left -= size
    return float(best[capacity]), fill


def every_fill(
    sizes: Sequence[int], counts: Sequence[int], capacity: int, most: int
) -> list[tuple[int, ...]]:
    """All fills of a bar to which no piece can be added; none at all where they are more than `most`, or too much would have to be
    looked at to find them.
    """
    found: list[tuple[int, ...]] = []
    looked = 0

    def filled(i: int, fill: tuple[int, ...], left: int) -> bool:
        nonlocal looked
        looked += 1
        if looked > most * LOOKED_EACH:
            return False
        if i == len(sizes):
            full = all(
                have == count or size > left for have, count, size in zip(fill, counts, sizes, strict=True)
            )
            if full:
                found.append(fill)
            return len(found) <= most
        fits = min(counts[i], left // sizes[i] if sizes[i] else counts[i])
        return all(filled(i + 1, (*fill, many), left - many * sizes[i]) for many in range(fits, -1, -1))

    return found if filled(0, (), capacity) else []


def _packs(
    values: Sequence[float], sizes: Sequence[int], counts: Sequence[int], capacity: int
) -> Iterator[tuple[int, int]]:
    """Packs of pieces whose sums make every number up to what fits."""
    for i, (value, size, count) in enumerate(zip(values, sizes, counts, strict=True)):
        if value <= NO_WORTH:
            continue
        left, many = min(count, capacity // size if size else count), 1
        while left > 0:
            yield i, min(many, left)
            left -= many
            many *= 2


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
