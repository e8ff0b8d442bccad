"""Shapes: their areas, and two of them in one blank."""

from __future__ import annotations

import itertools
import math

import pytest
from cut_plans.plans import brief_of, faults, shop_of
from hypothesis import given
from hypothesis import strategies as st

from quoting.takeoff.numbers import area_m2, crosses_itself, interlocked_m

TRIANGLE = ((0.0, 0.0), (0.4, 0.0), (0.0, 0.3))
RECTANGLE = ((0.0, 0.0), (0.4, 0.0), (0.4, 0.3), (0.0, 0.3))
TAPER = ((0.0, 0.0), (0.7, 0.0), (0.7, 0.02), (0.0, 0.05))


def test_areas_of_plain_shapes() -> None:
    """Half of base times height; the mean of two parallel sides times their distance (geometry of the schools)."""
    assert area_m2(TRIANGLE) == pytest.approx(0.4 * 0.3 / 2)
    assert area_m2(RECTANGLE) == pytest.approx(0.12)
    assert area_m2(TAPER) == pytest.approx((0.02 + 0.05) / 2 * 0.7)
    assert area_m2(tuple(reversed(TAPER))) == area_m2(TAPER)
    assert not crosses_itself(TAPER)
    assert crosses_itself(((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)))


def test_two_of_plain_shapes() -> None:
    """Two triangles make their rectangle, two tapers are as wide as both ends, two rectangles save nothing; each with the gap,
    which a saw takes square to the edge.
    """
    assert interlocked_m(TRIANGLE, 0.0) == pytest.approx(0.3)
    assert interlocked_m(TAPER, 0.003) == pytest.approx(0.07 + 0.003 * math.hypot(1.0, 0.03 / 0.7))
    assert interlocked_m(TRIANGLE, 0.003) == pytest.approx(0.3 + 0.003 * math.hypot(1.0, 0.3 / 0.4))
    assert interlocked_m(RECTANGLE, 0.003) == pytest.approx(0.603)


@given(
    st.lists(
        st.tuples(st.integers(1, 99), st.integers(1, 50)),
        min_size=1,
        max_size=6,
        unique_by=lambda one: one[0],
    )
)
def test_two_never_overlap(tops: list[tuple[int, int]]) -> None:
    """A shape on a straight edge and the same turned end for end, at every millimetre of their length."""
    upper = [(0, 10), *sorted(tops), (100, 20)]
    outline = ((0.0, 0.0), (100.0, 0.0), *((float(x), float(y)) for x, y in reversed(upper)))
    width = interlocked_m(outline, 0.5)

    def top(x: float) -> float:
        for (x1, y1), (x2, y2) in itertools.pairwise(upper):
            if x1 <= x <= x2:
                return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
        raise AssertionError(x)

    gaps = [width - top(100 - x) - top(x) for x in range(101)]
    assert min(gaps) >= 0.5 - 1e-9
    turned = [(100 - x, width - y) for x, y in upper]
    between = min(
        distance(point, line)
        for points, lines in ((upper, turned), (turned, upper))
        for point in points
        for line in itertools.pairwise(lines)
    )
    assert between == pytest.approx(0.5, abs=1e-9)


def distance(point: tuple[float, float], line: tuple[tuple[float, float], tuple[float, float]]) -> float:
    """From a point to a line with two ends."""
    (px, py), ((x1, y1), (x2, y2)) = point, line
    along = ((px - x1) * (x2 - x1) + (py - y1) * (y2 - y1)) / ((x2 - x1) ** 2 + (y2 - y1) ** 2)
    along = min(max(along, 0.0), 1.0)
    return math.hypot(px - x1 - along * (x2 - x1), py - y1 - along * (y2 - y1))


def test_shapes_in_pairs_are_planned_where_that_is_cheaper(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Four tapered legs come from two blanks, and so from one board instead of two."""
    jobs = shop_of(tmp_path_factory.mktemp("shop"))
    leg = (
        '[[hardwood]]\npart = "leg"\nspecies = "red oak"\nlength = "30 in"\nwidth = "3 in"\nthickness = "3/4 in"\nquantity = 4\n'
        'outline = [["0 in", "0 in"], ["30 in", "0 in"], ["30 in", "1 in"], ["0 in", "3 in"]]\n'
    )
    board = '[[board]]\nspecies = "red oak"\nstock = "4/4"\nlength = "68 in"\nwidth = "5 in"\n'
    brief, problems = brief_of(jobs, leg + board)
    assert problems == []
    assert brief is not None
    [plan] = brief.plans
    assert faults(plan) == []
    assert sum(stock.number for stock in plan.stocks) == 1
    assert [piece.two for stock in plan.stocks for piece in stock.pieces] == [True, True]
    square = leg.partition("outline")[0]
    alone, _ = brief_of(jobs, square + board)
    assert alone is not None
    assert sum(stock.number for stock in alone.plans[0].stocks) == 2
