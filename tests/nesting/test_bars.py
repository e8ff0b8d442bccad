"""Plans of bars: held against published optima, and against every way to cut on small jobs."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.nesting.bars import Bars, bar_plan
from quoting.nesting.pattern import Offer, metres, ticks
from quoting.nesting.pattern import given as given_by

ANY = Offer(1, None)


def test_paper_rolls_of_5600_mm() -> None:
    """73 rolls: "Cutting stock problem", Wikipedia; the optimum is proved by the bound."""
    lengths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    wanted = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    found = bar_plan(Bars((5600,), (ANY,), lengths, wanted, 0))
    assert found is not None
    assert (found.price, found.bound) == (73, 73)
    used = sum(length * many for length, many in zip(lengths, wanted, strict=True))
    assert 1 - used / (73 * 5600) == pytest.approx(0.00401, abs=5e-6)


def test_rolls_of_100_inches() -> None:
    """453 rolls: Chvatal, Linear Programming (1983), chapter 13."""
    found = bar_plan(Bars((100,), (ANY,), (45, 36, 31, 14), (97, 610, 395, 211), 0))
    assert found is not None
    assert (found.price, found.bound) == (453, 453)


@given(
    st.lists(st.tuples(st.integers(4, 20), st.integers(1, 8), st.one_of(st.none(), st.integers(0, 3))), min_size=1, max_size=3),
    st.dictionaries(st.integers(1, 12), st.integers(1, 3), min_size=1, max_size=3),
    st.integers(0, 2),
)  # fmt: skip
def test_no_way_to_cut_is_cheaper(
    stocks: list[tuple[int, int, int | None]], pieces: dict[int, int], kerf: int
) -> None:
    """Every plan of a small job, by trying bar after bar; the bound is never above it."""
    lengths, wanted = tuple(pieces), tuple(pieces.values())
    bars = Bars(tuple(s[0] for s in stocks), tuple(Offer(s[1], s[2]) for s in stocks), lengths, wanted, kerf)
    found, best = bar_plan(bars), cheapest(stocks, lengths, wanted, kerf)
    if found is None:
        assert best is None
        return
    assert found.bound <= found.price
    assert best is not None
    assert found.bound <= best <= found.price
    assert given_by(found.uses, len(lengths)) == list(wanted)
    for use in found.uses:
        taken = sum(many * (length + kerf) for many, length in zip(use.pattern.fill, lengths, strict=True))
        assert taken - kerf <= stocks[use.pattern.stock][0]
    for stock, (_, _, most) in enumerate(stocks):
        assert most is None or sum(use.times for use in found.uses if use.pattern.stock == stock) <= most
    assert found.price == best


def cheapest(
    stocks: list[tuple[int, int, int | None]], lengths: tuple[int, ...], wanted: tuple[int, ...], kerf: int
) -> int | None:
    """The least price by trying all: bars one after another, each filled in every way."""

    @cache
    def fills(room: int, left: tuple[int, ...]) -> frozenset[tuple[int, ...]]:
        found = {left}
        for i, length in enumerate(lengths):
            if left[i] and length + kerf <= room:
                found |= fills(room - length - kerf, (*left[:i], left[i] - 1, *left[i + 1 :]))
        return frozenset(found)

    @cache
    def best(left: tuple[int, ...], there: tuple[int, ...]) -> float:
        if not any(left):
            return 0
        found = float("inf")
        for s, (length, price, _) in enumerate(stocks):
            if there[s]:
                rest = (*there[:s], there[s] - 1, *there[s + 1 :])
                for after in fills(length + kerf, left):
                    if after != left:
                        found = min(found, price + best(after, rest))
        return found

    there = tuple(sum(wanted) if most is None else min(most, sum(wanted)) for _, _, most in stocks)
    price = best(wanted, there)
    return None if price == float("inf") else int(price)


def test_lengths_of_no_common_measure_keep_their_bound() -> None:
    """Millimetres and odd fractions of an inch together: counted on a coarser grid, safe both ways."""
    lengths = tuple(ticks(x) for x in (0.3331, 0.47625, 0.7777, 1.0001, 0.1234567))
    found = bar_plan(Bars((ticks(6.0),), (Offer(100, None),), lengths, (9, 7, 12, 5, 30), ticks(0.003175)))
    assert found is not None
    for use in found.uses:
        taken = sum(
            many * (size + ticks(0.003175)) for many, size in zip(use.pattern.fill, lengths, strict=True)
        )
        assert taken <= ticks(6.003175)
    assert (found.price, found.bound) == (500, 500)


def test_a_bar_that_is_too_short_gives_no_plan() -> None:
    """A piece longer than every bar."""
    assert bar_plan(Bars((100,), (ANY,), (101,), (1,), 0)) is None


def test_ticks_keep_what_a_rule_shows() -> None:
    """1/64 in and 0.1 mm are whole numbers of ticks."""
    assert metres(ticks(0.0254 / 64)) * 64 == pytest.approx(0.0254, rel=1e-15)
    assert ticks(0.0001) == 100_000
