"""Column generation: patterns are made as the prices of pieces ask for them, and chosen among at the least price."""

from collections.abc import Callable, Sequence
from math import ceil, gcd, isfinite
from typing import NamedTuple, TypeAlias

import highspy
import numpy as np

from quoting.nesting.pattern import Limit, Offer, Pattern, Use

FOREVER = highspy.kHighsInf
IN_VAIN = ("rins", "rens", "root_reduced_cost")
"""Heuristics of the solver that took half its time, and bettered no published instance: the search brings good patterns of its own."""

ROUNDS = 2_000
TOO_LITTLE = 1e-7
"""Of a minor unit of money: a pattern that saves less is none."""


class Duals(NamedTuple):
    """What one more piece of each kind is worth, and one more stock of each kind (none, or below) [minor units]."""

    pieces: np.ndarray
    stocks: np.ndarray


class Master:
    """Minimise the price of patterns x subject to: pieces given >= wanted, stocks used <= there are.

    Gilmore and Gomory, A Linear Programming Approach to the Cutting-Stock Problem, Operations Research 9 (1961).
    `dear` is what a piece costs that no pattern gives yet: more than any plan.
    """

    def __init__(self, wanted: Sequence[int], offers: Sequence[Offer], dear: float) -> None:
        self.offers = offers
        self.patterns: list[Pattern] = []
        self._taken: set[tuple[int, tuple[int, ...]]] = set()
        self.wanted = wanted
        self._solver = quiet_solver()
        for name in IN_VAIN:
            self._solver.setOptionValue(f"mip_heuristic_run_{name}", False)
        for many in wanted:
            self._solver.addRow(float(many), FOREVER, *entries([], []))
        for offer in offers:
            most = FOREVER if offer.most is None else float(offer.most)
            self._solver.addRow(-FOREVER, most, *entries([], []))
        for i in range(len(wanted)):
            self._solver.addCol(dear, 0.0, FOREVER, *entries([i], [1.0]))

    def add(self, pattern: Pattern) -> bool:
        """Take a pattern in; False where one that gives the same is there."""
        if (pattern.stock, pattern.fill) in self._taken:
            return False
        self._taken.add((pattern.stock, pattern.fill))
        self.patterns.append(pattern)
        rows = [i for i, many in enumerate(pattern.fill) if many]
        values = [float(pattern.fill[i]) for i in rows]
        price = float(self.offers[pattern.stock].price)
        rows, values = [*rows, len(self.wanted) + pattern.stock], [*values, 1.0]
        self._solver.addCol(price, 0.0, FOREVER, *entries(rows, values))
        return True

    def relaxed(self) -> tuple[Duals, np.ndarray]:
        """The linear programme: duals, and how often each pattern is used, in parts."""
        self._solver.run()
        found = self._solver.getSolution()
        duals, kinds = np.array(found.row_dual), len(self.wanted)
        used = np.array(found.col_value)[kinds:]
        return Duals(np.maximum(duals[:kinds], 0.0), np.minimum(duals[kinds:], 0.0)), used

    def whole(self, branches: int) -> tuple[tuple[Use, ...] | None, float]:
        """The best choice in whole stocks that is found within some branches, none where some piece is left without; and a price
        that no choice among these patterns is below.
        """
        kinds, columns = len(self.wanted), len(self.patterns)
        for j in range(columns):
            self._solver.changeColIntegrality(kinds + j, highspy.HighsVarType.kInteger)
        self._solver.setOptionValue("mip_max_nodes", branches)
        self._solver.run()
        values = np.array(self._solver.getSolution().col_value)
        bound = float(self._solver.getInfo().mip_dual_bound)
        for j in range(columns):
            self._solver.changeColIntegrality(kinds + j, highspy.HighsVarType.kContinuous)
        if not len(values) or np.any(values[:kinds] > 0.5):
            return None, bound
        counts = np.rint(values[kinds:]).astype(int)
        return tuple(Use(self.patterns[j], int(counts[j])) for j in np.flatnonzero(counts)), bound


def quiet_solver() -> highspy.Highs:
    """A solver that prints nothing and takes one core."""
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    return solver


def entries(places: Sequence[int], values: Sequence[float]) -> tuple[int, np.ndarray, np.ndarray]:
    """What of a row or a column is not 0, as the solver takes it: how many they are, their places, their values."""
    return len(places), np.array(places, dtype=np.int32), np.array(values, dtype=np.float64)


class Made(NamedTuple):
    """The best pattern of a stock at some worths of pieces, and a worth that no pattern of it exceeds."""

    pattern: Pattern
    most: float


Maker: TypeAlias = Callable[[int, np.ndarray, Sequence[int]], Made]
"""Finds the best pattern of a kind of stock, by its index, at worths of the pieces [minor units of money]; at most so many of each as
are wanted, where it can.
"""


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
            if np.dot(one.pattern.fill, duals.pieces)
            > offer.price - waived + TOO_LITTLE * max(offer.price, 1)
        ]
        if not sum(master.add(pattern) for pattern in fresh) or limit.halted():
            break
    return Grown(master, rounded_bound(bound, offers), used)


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
