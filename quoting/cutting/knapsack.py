"""The best fill of one bar: which pieces, each at most so many times, are worth most within its length."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

TOO_LITTLE = 1e-12
LOOKED_EACH = 20
"""Branches that are looked at for each fill that is wanted at most."""


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
        better = with_it > best[size:] + TOO_LITTLE
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
        if value <= TOO_LITTLE:
            continue
        left, many = min(count, capacity // size if size else count), 1
        while left > 0:
            yield i, min(many, left)
            left -= many
            many *= 2
