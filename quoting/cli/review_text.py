"""A review on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.amounts import money
from quoting.cli.terminal import bold, dim, row, whole_row, wrapped
from quoting.documents.review.view import bridge_rows, differences, judged, money_rows, told
from quoting.errors import one_line

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.runs.review import Reviewed

MOST_LINES, MOST_TASKS = 12, 12


def review_text(found: Reviewed) -> str:
    """The statement of a piece, in blocks."""
    piece = found.build.piece
    state = "by round totals" if found.coarse else f"{piece.standing.words} since {piece.standing.since}"
    title = bold(wrapped(one_line(f"Review of {found.name} {piece.plan.job.piece.title}: {state}"), ""))
    return "\n\n".join([title, _bridge(found), _why(found), _left(found), _hours(found), *_lines(found)])


def _bridge(found: Reviewed) -> str:
    rows = [bold("From the margin quoted to the margin earned")]
    for words, amount, ends in bridge_rows(found.statement):
        share = (
            found.statement.quoted_share
            if words.startswith("margin quoted")
            else found.statement.actual_share
        )
        said = f"  {words}" + (f" ({share:.1%} of the net price)" if ends and share is not None else "")
        rows.append(row(said, money(found.build.piece.plan, amount), "1" if ends else ""))
    return "\n".join(rows)


def _why(found: Reviewed) -> str:
    rows = [bold("Why, the dearest first (hours with the overhead on them)")]
    for one in told(found.build, found.statement, lambda amount: money(found.build.piece.plan, amount)):
        rows.append(wrapped(one_line(one.words), "  "))
        rows += [
            row(one_line(f"      {words}"), money(found.build.piece.plan, effect), "2")
            for words, effect in one.details
        ]
    if len(rows) == 1:
        rows.append("  nothing went otherwise than planned")
    return "\n".join(rows)


def _left(found: Reviewed) -> str:
    rows = [
        whole_row(f"  {words}", money(found.build.piece.plan, amount))
        for words, amount in money_rows(found.statement)
    ]
    return "\n".join([bold("What it left"), *rows])


def _hours(found: Reviewed) -> str:
    rows = [bold("Hours by task: actual of planned")]
    for one in found.statement.tasks[:MOST_TASKS]:
        rows.append(row(one_line(f"  {one.name}"), f"{one.actual:.1f} of {one.planned:.1f} h"))
    return "\n".join(rows)


def _lines(found: Reviewed) -> Iterator[str]:
    every = differences(found.statement)
    if not every:
        return
    rows = [bold(wrapped("Lines, the largest difference first: usage or time, price or rate", ""))]
    for one in every[:MOST_LINES]:
        amounts = f"{money(found.build.piece.plan, one.first):>10} {money(found.build.piece.plan, one.second):>10}  {judged(one.over):<10}"
        rows.append(row(one_line(f"  {one.name}" + ("" if one.recorded else ", not recorded")), amounts))
    if len(every) > MOST_LINES:
        rows.append(dim(f"  and {len(every) - MOST_LINES} smaller ones; --out FOLDER writes all of them"))
    yield "\n".join(rows)
