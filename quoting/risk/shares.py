"""Each input's share of the variance, from the draws that are there: no further run of the model."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_GROUPS = 64
FEWEST_IN_GROUP = 30


def first_order(given: NDArray[np.float64], result: NDArray[np.float64]) -> float:
    """The first-order Sobol index of an input: Var(E[result | input]) / Var(result), from 0 to 1.

    Draws, arrays of shape (draws,), are ordered by the input and cut into groups of equal size; the variance
    between the groups' means is freed of what chance alone would give (omega squared: Hays, Statistics, from memory):

        S = (SS_between - (g - 1) MS_within) / (SS_total + MS_within)

    An estimate may fall a little below 0 where there is nothing: so that estimates of many inputs may be added without
    their noise adding up, it is not cut off. An input of few values, such as a coin, has a group a value. Inputs must be independent of each other.
    """
    values, groups = np.unique(given, return_inverse=True)
    count = len(values)
    wanted = max(min(MOST_GROUPS, len(given) // FEWEST_IN_GROUP), 1)
    if count > wanted:
        places = np.empty(len(given), dtype=np.intp)
        places[np.argsort(given, kind="stable")] = np.arange(len(given))
        groups, count = places * wanted // len(given), wanted
    total = float(np.sum((result - result.mean()) ** 2))
    if not 1 < count < len(given) or not total:
        return 0.0
    sizes = np.bincount(groups, minlength=count)
    means = np.bincount(groups, weights=result, minlength=count) / sizes
    between = float(np.sum(sizes * (means - result.mean()) ** 2))
    within = (total - between) / (len(given) - count)
    return (between - (count - 1) * within) / (total + within)
