"""Sizes that can hardly be meant are told, and what is usual is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from cut_plans.plans import brief_of, shop_of

from quoting.trades import parts as trades

if TYPE_CHECKING:
    from pathlib import Path

PART = (
    '[[hardwood]]\npart = "top"\nspecies = "red oak"\nlength = "{0}"\nwidth = "{1}"\nthickness = "3/4 in"\n'
)


@pytest.mark.parametrize(
    ("part", "codes"),
    [
        (PART.format("20 in", "5 in"), []),
        (PART.format("20 in", "12 in"), []),  # twice the usual 6 in board: still to be had
        (PART.format("20 in", "14 in"), ["wide_board"]),
        (PART.format("20 in", "14 in") + "glued_up = true\n", []),
        (PART.format("1 1/2 in", "21 in"), ["exchanged"]),
        (PART.format("15 ft", "3 in"), ["longer_than_piece"]),
        (
            PART.format("35 in", "3 in"),
            [],
        ),  # fits across the corners of a piece of 20 x 20 x 22 in: 35.8 in (Pythagoras)
        (PART.format("36 in", "3 in"), ["longer_than_piece"]),
    ],
)
def test_sizes_that_can_hardly_be_meant(tmp_path: Path, part: str, codes: list[str]) -> None:
    piece = 'length = "20 in"\nwidth = "20 in"\nheight = "22 in"\n'
    brief, problems = brief_of(shop_of(tmp_path), piece + part)
    assert problems == []
    assert brief is not None
    assert [one.code for one in trades.doubts(brief.job, brief.shop, brief.tables)] == codes


def test_a_piece_without_its_sizes_has_none_to_compare(tmp_path: Path) -> None:
    brief, _ = brief_of(shop_of(tmp_path), PART.format("15 ft", "3 in"))
    assert brief is not None
    assert trades.doubts(brief.job, brief.shop, brief.tables) == []
