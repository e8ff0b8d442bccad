"""Thicknesses that contradict one another: fewer plies after more rounds are a slip of the pen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.review.pressed import measurements

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.ledger.entries import Entry


def contradictions(new: Entry, there: Sequence[Entry]) -> Iterator[Problem]:
    """What is wrong with a thickness beside those of its panel that hold: plies only grow from round to round."""
    if new.kind != "measured" or not new.plies or new.round is None:
        return
    for old in sorted(measurements(new.part, there), key=lambda one: -(one.round or 0)):
        if old.round is None or old.round == new.round or not old.plies:
            continue
        if (old.round < new.round) != (old.plies < new.plies):
            found = (
                f"found {new.plies} plies in round {new.round}; {old.plies} lay there in round {old.round}"
            )
            number = f" (log NUMBER void {old.id})" if old.id else ""
            yield Problem(
                "plies", found, f"write all plies under the thickness, or take the wrong entry back{number}"
            )
            return
