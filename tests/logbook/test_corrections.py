"""Taking entries back restores every figure, whatever was logged between."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logbook.conftest import JOBS
from logbook.logs import TODAY
from logbook.logs import piece as piece_with
from logbook.test_filled import SAYINGS
from sharing import DAY

from quoting.ledger import entries, quotes
from quoting.ledger.store import reading, writing
from quoting.logbook.in_hand import InHand, in_hand
from quoting.logbook.intake import entry_of
from quoting.logbook.piece import Piece, piece_of
from quoting.logbook.saying import Saying
from quoting.logbook.targets import names_of_piece
from quoting.runs.issuing import Asked, issue
from quoting.runs.marking import mark


def quiet(_: str) -> None:
    """Nobody listens."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop whose lectern was ordered."""
    folder = Path(shutil.copytree(JOBS.parent, tmp_path_factory.mktemp("book") / "shop"))
    issue(folder / "jobs" / "lectern.toml", None, DAY, Asked(), None, quiet, quiet)
    mark(folder, DAY, "2026-001", "agreed", "2026-02-09", "", "", "", "", quiet)
    return folder


def now(folder: Path) -> tuple[Piece, InHand]:
    with reading(folder) as book:
        piece = piece_of(book, quotes.asked(book, "2026-001"))
    return piece, in_hand(piece)


@settings(max_examples=30)
@given(kept=SAYINGS, slips=SAYINGS, seed=st.integers(0, 2**32))
def test_figures_are_as_if_the_slips_had_never_been(
    shop: Path, kept: list[dict[str, str]], slips: list[dict[str, str]], seed: int
) -> None:
    """Entries that hold and slips are logged in any order and the slips taken back in any order: in the ledger everything
    stays, in the figures nothing of them. At the end the others are taken back too, and the piece is as at first.
    """
    rng = random.Random(seed)
    _, first = now(shop)
    mixed = [(one, True) for one in kept] + [(one, False) for one in slips]
    rng.shuffle(mixed)
    with writing(shop, lambda: None) as book:
        piece = piece_of(book, quotes.asked(book, "2026-001"))
        known, owner = names_of_piece(piece.plan), (piece.quote.piece_id, piece.quote.id)
        added = [
            (entries.add(book, entry_of(Saying(**one), known, TODAY, *owner)), good)  # type: ignore[arg-type]
            for one, good in mixed
        ]
    with writing(shop, lambda: None) as book:
        wrong = [entry for entry, good in added if not good]
        rng.shuffle(wrong)
        for entry in wrong:
            entries.take_back(book, entry.id, owner[0], TODAY, "a slip")
    after, figures = now(shop)
    good_ones = [entry for entry, good in added if good]
    assert {entry.id for entry, _ in added} <= {entry.id for entry in after.entries}
    assert [one.id for one in after.holding if one.kind != "state"] == [one.id for one in good_ones]
    assert figures == in_hand(piece_with(after.plan, good_ones, after.standing))
    with writing(shop, lambda: None) as book:
        for entry in good_ones:
            entries.take_back(book, entry.id, owner[0], TODAY, "all of it")
    assert now(shop)[1] == first
