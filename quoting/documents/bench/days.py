"""Calendar and cautions of the maker's sheet."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from quoting.documents.bench.page import SIZE, WIDEST, heading, table, words
from quoting.documents.paper.fonts import REGULAR, width
from quoting.pricing.calendar import step_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from reportlab.platypus import Flowable

    from quoting.documents.bench.page import Paper
    from quoting.documents.bench.text import MakerText
    from quoting.pricing.calendar import Step
    from quoting.pricing.record import Priced

WAITS = ("lead", "booked")

BETWEEN = 5.0  # a column and the next [pt]
AT_THE_BENCH = ("pour_depth", "round_clock", "vacuum", "fibre_fraction", "trial", "flatten")
"""Warnings that the bench must know; those of prices stay in the workbook."""


class StageRow(NamedTuple):
    """A stage, or the steps of a part, with its first day and the day by which it is over. `part` is its path, or who is waited for."""

    kind: str
    part: str
    name: str
    first: date
    last: date


def is_away(kind: str) -> bool:
    """True for steps in which nobody works, or only for a while: what is waited for, and what cures or dries."""
    return kind in WAITS or kind in step_words()


def stage_rows(priced: Priced, text: MakerText) -> Iterator[StageRow]:
    """One row for each stage, the steps of a part together; the last is the hand-over."""
    for _, those in groupby(priced.calendar[1:], key=lambda one: (one.kind, one.part)):
        steps = list(those)
        one, last = steps[0], steps[-1].last_day(priced.day)
        first = last if one.kind == "ready" else one.first_day(priced.day)
        yield StageRow(one.kind, one.part, named(steps, text), first, last)


def calendar(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """The stages under a heading, with their days."""
    day = text.day(priced.day)
    yield heading(f"Calendar, ordered {day}: from, over by", on)
    rows = []
    for row in stage_rows(priced, text):
        until = "" if row.first == row.last else text.day(row.last)
        rows.append([row.name, text.day(row.first), until, days_words(row, priced)])
    days = [max(width(row[i], REGULAR, SIZE) for row in rows) + BETWEEN for i in (1, 2, 3)]
    yield table(rows, [min(on.column - sum(days), WIDEST), *days])


def days_words(row: StageRow, priced: Priced) -> str:
    """Days after the order: 21, or 21–25."""
    start, end = (row.first - priced.day).days, (row.last - priced.day).days
    return f"{start}" if start == end else f"{start}–{end}"


def named(steps: Sequence[Step], text: MakerText) -> str:
    """What a row is called: a part with its rounds and cure, or the stage with its hours."""
    one, hours = steps[0], text.measure(steps[0].hours, "time")
    name = text.ink("item" if one.kind == "lead" else "part", one.what)
    if one.kind in step_words():
        rest = "dry" if one.kind == "finish coat" else "cure"
        return f"{name}: {_many(len(steps), one.kind.rpartition(' ')[2])}, {rest} {hours}"
    return {
        "lead": f"wait for {name}",
        "booked": "work booked before",
        "bench": f"bench and desk {hours}",
        "finishing": f"finishing {hours}",
        "ready": "ready",
    }[one.kind]


def _many(count: int, what: str) -> str:
    return f"1 {what}" if count == 1 else f"{count} {what}s"


TOLD_ELSEWHERE = ("lifting", "resin_heat")
"""Cautions that stand at the head of the sheet, and in the mixes and depths of its cards."""


def cautions(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """The usual cautions, and what was found doubtful about the bench's own work."""
    told = [
        words(text.ink("caution", said), "–", leftIndent=8, firstLineIndent=-8)
        for name, said in priced.cautions
        if name not in TOLD_ELSEWHERE
    ]
    doubts = [
        words(text.ink("warning", one.words), "Check:", leftIndent=8, firstLineIndent=-8)
        for one in priced.warnings
        if one.code in AT_THE_BENCH
    ]
    if told or doubts:
        yield heading("Cautions", on)
        yield from (*doubts, *told)
