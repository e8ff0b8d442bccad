"""Plans of sheets and boards: every one can be sawn, nothing is missing, and no price is below its bound."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nesting.checking import faults_of_stock, lying, missing

from quoting.nesting.pattern import Limit, Offer
from quoting.nesting.rectangles import Piece, Region, Staves, Stock, clearings, leaves
from quoting.nesting.sheets import SawPlan, sheet_plan

QUICK = Limit(regions=100_000, branches=20)


@st.composite
def piece(draw: st.DrawFn) -> Piece:
    if draw(st.booleans()):
        return Piece(
            draw(st.integers(1, 60)), draw(st.integers(1, 40)), draw(st.integers(1, 4)), draw(st.booleans())
        )
    least = draw(st.integers(3, 8))
    staves = Staves(least, least + draw(st.integers(4, 20)), draw(st.integers(0, 2)))
    return Piece(
        draw(st.integers(5, 60)), draw(st.integers(least, 50)), draw(st.integers(1, 2)), staves=staves
    )


@st.composite
def board(draw: st.DrawFn) -> tuple[tuple[int, int], Offer, list[Region]]:
    length, width = draw(st.integers(20, 120)), draw(st.integers(10, 60))
    zones = st.builds(
        Region, st.integers(0, length), st.integers(0, width), st.integers(1, 30), st.integers(1, 30)
    )
    offer = Offer(draw(st.integers(1, 50)), draw(st.one_of(st.none(), st.integers(1, 4))))
    return (length, width), offer, draw(st.lists(zones, max_size=3))


@given(
    st.lists(piece(), min_size=1, max_size=6), st.lists(board(), min_size=1, max_size=4), st.integers(0, 3)
)
def test_every_plan_can_be_sawn(
    pieces: list[Piece], boards: list[tuple[tuple[int, int], Offer, list[Region]]], kerf: int
) -> None:
    """No overlap, nothing outside, nothing on a zone, a kerf between all, nothing missing, no more stock than there is."""
    found = planned(pieces, boards, kerf)
    if found is None:
        return
    for one in found.sawn:
        size, _, zones = boards[one.stock]
        assert faults_of_stock(one.cuts, pieces, size, zones, kerf) == []
    assert missing(found.sawn, pieces, kerf) == []
    for stock, (_, offer, _) in enumerate(boards):
        used = sum(one.times for one in found.sawn if one.stock == stock)
        assert offer.most is None or used <= offer.most
    assert found.price == sum(boards[one.stock][1].price * one.times for one in found.sawn)
    assert found.bound <= found.price


def planned(
    pieces: list[Piece],
    boards: list[tuple[tuple[int, int], Offer, list[Region]]],
    kerf: int,
    limit: Limit = QUICK,
) -> SawPlan | None:
    stocks = [Stock(offer, clearings(*size, zones, kerf)) for size, offer, zones in boards]
    return sheet_plan([one.with_kerf(kerf) for one in pieces], stocks, limit)


def test_what_fits_exactly_fits() -> None:
    """Four quarters of a sheet with a kerf between them; one tick of kerf more, and each needs a sheet of its own."""
    quarters = [Piece(1199, 599, 4)]
    sheet = ((2400, 1200), Offer(7, None), [])
    assert planned(quarters, [sheet], 2).price == 7  # type: ignore[union-attr]
    assert planned(quarters, [sheet], 3).price == 28  # type: ignore[union-attr]


def test_grain_is_kept_and_turning_pays() -> None:
    """Two pieces across a sheet fit only where they may turn."""
    sheet = ((100, 60), Offer(1, None), [])
    assert planned([Piece(60, 50, 2)], [sheet], 0).price == 2  # type: ignore[union-attr]
    assert planned([Piece(60, 50, 2, turns=True)], [sheet], 0).price == 1  # type: ignore[union-attr]


def test_the_cheaper_sheet_is_taken_where_it_holds_all() -> None:
    """Three kinds of one item: the middle one holds both pieces at the least price."""
    sheets = [
        ((2440, 1220), Offer(90, None), []),
        ((1220, 1220), Offer(50, None), []),
        ((1220, 610), Offer(30, None), []),
    ]
    found = planned([Piece(600, 1200, 2)], sheets, 3)  # type: ignore[arg-type]
    assert found is not None
    assert (found.price, found.bound, [one.stock for one in found.sawn]) == (50, 50, [1])


def test_stock_that_is_not_enough_gives_no_plan() -> None:
    """A piece larger than every board, and more pieces than the boards there are hold."""
    assert planned([Piece(101, 10, 1)], [((100, 60), Offer(1, None), [])], 0) is None
    assert planned([Piece(100, 60, 3)], [((100, 60), Offer(1, 2), [])], 0) is None


def test_a_panel_takes_what_widths_there_are() -> None:
    """A panel of 36 in of boards 6 in wide that lose 1/4 in each takes seven (common practice, no source); of wider boards fewer."""
    quarter = 1
    panel = [Piece(40, 36 * 4, 1, staves=Staves(6, 30 * 4, quarter))]
    narrow, wide = ((40, 6 * 4), Offer(1, None), []), ((40, 12 * 4), Offer(1, None), [])
    assert planned(panel, [narrow], 0).price == 7  # type: ignore[union-attr, list-item]
    found = planned(panel, [wide], 0)  # type: ignore[list-item]
    assert found is not None
    assert found.price == 4
    assert (
        sum(one.width - quarter for each in found.sawn for one in lying(each.cuts, 0) * each.times) >= 36 * 4
    )


@pytest.mark.parametrize("kerf", [0, 3])
def test_zones_are_sawn_out_both_ways(kerf: int) -> None:
    """A knot in the middle leaves full lengths above and below it, or full widths left and right."""
    across, along = clearings(1000, 200, [Region(400, 80, 50, 40)], kerf)
    areas = [
        sorted(one.region.length * one.region.width for one in leaves(way) if one.clear)[-2:]
        for way in (across, along)
    ]
    assert areas[0] == [(400 + kerf) * (200 + kerf), (550 + kerf) * (200 + kerf)]
    assert areas[1] == [(1000 + kerf) * (80 + kerf)] * 2


def test_sapwood_along_an_edge_leaves_the_rest_whole() -> None:
    """A zone along the whole length is ripped off, whichever way comes first."""
    [way] = clearings(1000, 200, [Region(0, 0, 1000, 30)], 3)
    assert [one.region for one in leaves(way) if one.clear] == [Region(0, 30, 1003, 173)]


def test_boards_too_narrow_for_an_even_end_still_make_a_panel() -> None:
    """Boards of 6 for a panel of 8 with staves of no less than 5: two staves, and the panel is trimmed."""
    found = planned([Piece(40, 8, 1, staves=Staves(5, 9, 0))], [((40, 6), Offer(1, None), [])], 0)
    assert found is not None
    assert found.price == 2
