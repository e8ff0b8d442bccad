"""The table of best worths: against trying every cut of small rectangles."""

from __future__ import annotations

from functools import cache

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from nesting.checking import lying, sawable

from quoting.nesting.rectangles import Piece, fill_of
from quoting.nesting.sheets import cuts_of, points, table

pieces = st.lists(
    st.tuples(st.integers(1, 7), st.integers(1, 7), st.integers(1, 30), st.booleans()), min_size=1, max_size=4
)


@given(pieces, st.integers(1, 11), st.integers(1, 11))
def test_the_table_knows_the_best_of_all_cuts(
    of: list[tuple[int, int, int, bool]], length: int, width: int
) -> None:
    """And its cuts give what it says."""
    kinds = [Piece(a, b, 1, turns) for a, b, _, turns in of]
    worths = np.array([float(worth) for *_, worth, _ in of])
    ways = [way for kind in kinds for way in kind.ways()]
    lengths, widths = points([a for a, _, _ in ways], length, 99), points([b for _, b, _ in ways], width, 99)
    assert lengths is not None
    assert widths is not None
    found = table(kinds, worths, lengths, widths)
    cuts = cuts_of(found, kinds, (length, width))
    assert found.worth[-1, -1] == np.dot(fill_of(cuts, len(kinds)), worths) == best(of, length, width)
    assert sawable(lying(cuts, 0), 0)


def best(of: list[tuple[int, int, int, bool]], length: int, width: int) -> int:
    """The best worth by every cut at every place."""

    @cache
    def worth(a: int, b: int) -> int:
        fits = [value for x, y, value, turns in of if (x <= a and y <= b) or (turns and y <= a and x <= b)]
        return max(
            [0, *fits]
            + [worth(k, b) + worth(a - k, b) for k in range(1, a)]
            + [worth(a, k) + worth(a, b - k) for k in range(1, b)]
        )

    return worth(length, width)


def test_too_many_places_to_cut_are_no_table() -> None:
    """Sizes of no common measure have more sums than can be weighed."""
    assert points([3, 5, 7], 1000, 200) is None
