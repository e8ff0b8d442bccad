"""The fast loop that fits pieces gives what the plain rule gives."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from quoting.nesting.placing import FITS, _left, best_fit

SIDE = st.integers(1, 60)


@given(
    st.lists(st.tuples(SIDE, SIDE, st.just(0), st.just(0)), max_size=8),
    SIDE,
    SIDE,
    st.booleans(),
    st.sampled_from(FITS),
)
def test_the_best_region_is_that_of_the_rule(
    free: list[tuple[int, int, int, int]], long: int, wide: int, turns: bool, fit: str
) -> None:
    """In the order in which ways and regions are tried, the first with the least that is left."""
    ways = ((long, wide, False), *(((wide, long, True),) if turns else ()))
    there = [
        (_left(fit, length, width, length - way[0], width - way[1]), at, way)
        for way in ways
        for at, (length, width, _, _) in enumerate(free)
        if way[0] <= length and way[1] <= width
    ]
    expected = min(there, key=lambda one: one[0])[1:] if there else (-1, ways[0])
    assert best_fit(free, ways, fit) == expected
