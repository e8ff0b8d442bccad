"""The choice among patterns: least price that gives every piece, as a linear programme and in whole stocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import highspy
import numpy as np

from quoting.nesting.pattern import Use

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quoting.nesting.pattern import Offer, Pattern

FOREVER = highspy.kHighsInf
IN_VAIN = ("rins", "rens", "root_reduced_cost")
"""Heuristics of the solver that took half its time, and bettered no published instance: the search brings good patterns of its own."""


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
        self._known: set[tuple[int, tuple[int, ...]]] = set()
        self.wanted = wanted
        self._solver = highspy.Highs()  # type: ignore[no-untyped-call]
        self._solver.setOptionValue("output_flag", False)
        self._solver.setOptionValue("threads", 1)
        for name in IN_VAIN:
            self._solver.setOptionValue(f"mip_heuristic_run_{name}", False)
        for many in wanted:
            self._solver.addRow(float(many), FOREVER, 0, _ints([]), _floats([]))
        for offer in offers:
            most = FOREVER if offer.most is None else float(offer.most)
            self._solver.addRow(-FOREVER, most, 0, _ints([]), _floats([]))
        for i in range(len(wanted)):
            self._solver.addCol(dear, 0.0, FOREVER, 1, _ints([i]), _floats([1.0]))

    def add(self, pattern: Pattern) -> bool:
        """Take a pattern in; False where one that gives the same is known."""
        if (pattern.stock, pattern.fill) in self._known:
            return False
        self._known.add((pattern.stock, pattern.fill))
        self.patterns.append(pattern)
        rows = [i for i, many in enumerate(pattern.fill) if many]
        values = [float(pattern.fill[i]) for i in rows]
        price = float(self.offers[pattern.stock].price)
        rows, values = [*rows, len(self.wanted) + pattern.stock], [*values, 1.0]
        self._solver.addCol(price, 0.0, FOREVER, len(rows), _ints(rows), _floats(values))
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


def _ints(values: list[int]) -> np.ndarray:
    return np.array(values, dtype=np.int32)


def _floats(values: list[float]) -> np.ndarray:
    return np.array(values, dtype=np.float64)
