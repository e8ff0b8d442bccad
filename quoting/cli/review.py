"""The command that says where a finished piece made or lost money."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.happened import all_data, review_data
from quoting.as_data.record import Data
from quoting.cli.app import (
    Answer,
    Details,
    Folder,
    Json,
    Overwrite,
    Settings,
    arg,
    command,
    here,
    same,
    this_day,
)
from quoting.cli.shape import answer, part, signed_money
from quoting.cli.terminal import (
    block,
    blocks,
    counted,
    dim,
    heading,
    money,
    progress,
    row,
    whole_row,
    wrapped,
)
from quoting.errors import refused
from quoting.measures.showing import hours_said, per_cent

if TYPE_CHECKING:
    from quoting.pricing.record import Priced
    from quoting.review.statement import Statement
    from quoting.runs.builds import Reviewed

MOST_LINES, MOST_TASKS, MOST_STEPS, MOST_TOLD = 12, 12, 5, 3


@command("reviewing")
def review(
    piece: Annotated[
        str, arg("[NUMBER|JOB]", "An issued quote; a job file with --actuals; or none: all pieces.")
    ] = "",
    actuals: Annotated[
        Path | None,
        arg("--actuals", "Round totals of a piece that was never logged (TOML), with its job.", "FILE"),
    ] = None,
    shop: Folder = None,
    setting: Settings = None,
    out: Annotated[
        Path | None, arg("--out", "Write a paper for yourself (PDF) and a workbook there.", "FOLDER")
    ] = None,
    pictures: Annotated[bool, arg("--pictures", "With --out: each picture as SVG and PNG, too.")] = False,
    overwrite: Overwrite = False,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say where a finished piece made or lost money.

    From the margin quoted to the margin earned, step by step; the causes, the dearest first; what stayed in hand.
    """
    from quoting.runs import builds as recipes
    from quoting.runs.finding import job_file

    if pictures and out is None:
        raise refused("--pictures", "found no folder to write into", "add --out FOLDER", code="missing")
    papers = recipes.Papers(out, overwrite, pictures)
    if actuals is not None:
        if not piece:
            raise refused(
                "--actuals",
                "found no job beside it",
                "write quoting review JOB --actuals FILE",
                code="missing",
            )
        found = recipes.review_totals(
            job_file(Path(piece), shop), actuals, shop, this_day(), setting or (), papers
        )
        return Answer(_said(found, as_json, details), found.written, brief=not details)
    if not piece:
        return _review_all(shop, out, as_json, details)
    if piece.lower().endswith((".toml", ".xlsx")):
        raise refused(
            "",
            "found a job file",
            f"write its totals: quoting review {piece} --actuals FILE",
            code="conflict",
            piece=piece,
        )
    if setting:
        raise refused("--set", "found an issued quote, which stands as it is", "name a job", code="conflict")
    found = recipes.review(here(shop), piece, papers)
    return Answer(
        _said(found, as_json, details), found.written, next=("learn", *same(shop)), brief=not details
    )


def _said(found: Reviewed, as_json: bool, details: bool) -> str | Data:
    return (review_data if as_json else _text if details else _answer)(found)


def _review_all(shop: Path | None, out: Path | None, as_json: bool, details: bool) -> Answer:
    """Every finished piece side by side."""
    from quoting.cli.learn import all_answer, all_text
    from quoting.runs.builds import review_all as recipe

    if out is not None:
        wanted = "name one: quoting review NUMBER --out FOLDER"
        raise refused("--out", "found no piece to write a paper of", wanted, code="missing")
    found = recipe(here(shop), progress)
    said = (all_data if as_json else all_text if details else all_answer)(found)
    return Answer(said, next=("learn", *same(shop)), brief=not details)


def _answer(found: Reviewed) -> str:
    """What was earned of what was to be; the largest steps between, and the dearest causes."""
    from quoting.documents.review.view import told

    plan, one = found.build.piece.plan, found.statement
    ends = ((one.way.actual, one.actual_share, "earned"), (one.way.quoted, one.quoted_share, "margin quoted"))
    figures = [
        (money(plan, amount), words + ("" if share is None else f", {per_cent(share)} of the net price"))
        for amount, share, words in ends
    ]
    figures += [(money(plan, one.in_hand), "in hand after tax, fees and all cash")]
    figures += (
        []
        if one.an_hour is None
        else [(money(plan, one.an_hour), f"earned by each of {hours_said(one.own_hours)}")]
    )
    figures += [(per_cent(one.recorded_share, 0), "of the cost is recorded")]
    causes = [wrapped(one.words, "  ") for one in told(found.build, one, lambda amount: money(plan, amount))]
    return answer(
        _title(found),
        figures,
        part("From the margin quoted to the margin earned", _steps(plan, one)),
        part("Why, the dearest first", causes[:MOST_TOLD] or ["  nothing went otherwise than planned"]),
    )


def _steps(plan: Priced, found: Statement) -> Iterator[str]:
    """The largest steps of the bridge, and the others in one."""
    from quoting.documents.review.view import bridge_rows

    steps = [(words, amount) for words, amount, end in bridge_rows(found) if amount and not end]
    largest = sorted(steps, key=lambda step: -abs(step[1]))[:MOST_STEPS]
    yield from (row(f"  {words}", signed_money(plan, amount)) for words, amount in largest)
    rest = [amount for words, amount in steps if (words, amount) not in largest]
    if rest:
        yield row(f"  {counted(len(rest), 'other step')}", signed_money(plan, sum(rest, Decimal(0))))


def _title(found: Reviewed) -> str:
    piece = found.build.piece
    state = "by round totals" if found.coarse else f"{piece.standing.words} since {piece.standing.since}"
    return f"Review of {found.name} {piece.plan.job.piece.title}: {state}"


def _text(found: Reviewed) -> str:
    """The statement of a piece, in blocks."""
    from quoting.documents.review.view import money_rows

    piece, one = found.build.piece, found.statement
    left = (whole_row(f"  {words}", money(piece.plan, amount)) for words, amount in money_rows(one))
    hours = [row(f"  {task.name}", f"{task.actual:.1f} of {task.planned:.1f} h") for task in one.tasks]
    return blocks(
        heading(_title(found)),
        block("From the margin quoted to the margin earned", _bridge(piece.plan, one)),
        block("Why, the dearest first (hours with the overhead on them)", _why(found)),
        block("What it left", left),
        "\n".join([heading("Hours by task: actual of planned"), *hours[:MOST_TASKS]]),
        block("Lines, the largest difference first: usage or time, price or rate", _lines(piece.plan, one)),
    )


def _bridge(plan: Priced, one: Statement) -> Iterator[str]:
    from quoting.documents.review.view import bridge_rows

    for words, amount, ends in bridge_rows(one):
        share = one.quoted_share if words.startswith("margin quoted") else one.actual_share
        said = f"  {words}" + (f" ({per_cent(share)} of the net price)" if ends and share is not None else "")
        yield row(said, money(plan, amount), "1" if ends else "")


def _why(found: Reviewed) -> Iterator[str]:
    from quoting.documents.review.view import told

    plan = found.build.piece.plan
    causes = list(told(found.build, found.statement, lambda amount: money(plan, amount)))
    for one in causes:
        yield wrapped(one.words, "  ")
        yield from (row(f"      {words}", money(plan, effect), "2") for words, effect in one.details)
    if not causes:
        yield "  nothing went otherwise than planned"


def _lines(plan: Priced, found: Statement) -> Iterator[str]:
    from quoting.documents.review.view import differences, judged

    every = differences(found)
    for one in every[:MOST_LINES]:
        name = f"  {one.name}" + ("" if one.recorded else ", not recorded")
        amounts = f"{money(plan, one.first):>10} {money(plan, one.second):>10}"
        yield row(name, f"{amounts}  {judged(one.over):<10}")
    if len(every) > MOST_LINES:
        yield dim(f"  and {len(every) - MOST_LINES} smaller ones; --out FOLDER writes all of them")
