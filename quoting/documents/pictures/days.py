"""The picture of the days of a build: what waits, what is worked on, what cures."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from quoting.documents.bench.days import WAITS, named
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.fonts import glyphs
from quoting.documents.paper.text import Ink
from quoting.documents.pictures.marks import (
    EDGE,
    FIRST,
    HAIR,
    LABEL,
    PLANNED,
    QUIET,
    SMALL,
    SOLID,
    WIDTH,
    Figure,
    Stroke,
    Words,
    accent_of,
    padded,
    ticks,
    title,
)
from quoting.documents.pictures.rows import Row, Span, bars, height, scale_of
from quoting.pricing.calendar import step_words

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Mark
    from quoting.pricing.calendar import Step
    from quoting.pricing.record import Priced

HOURS_OF_DAY = 24.0
KEY = "Dark: days of work. Pale: waiting, cure and drying."


def days_picture(priced: Priced) -> Figure:
    """A row a stage or part over the days after the order, down to the hand-over."""
    text = MakerText(priced, Ink(glyphs()))
    rows = []
    for _, those in groupby(priced.calendar[1:], key=lambda one: (one.kind, one.part)):
        steps = list(those)
        ready = steps[0].kind == "ready"
        spans = tuple(span for step in steps for span in _spans(step))
        rows.append(Row(named(steps, text), spans, text.day(steps[-1].last_day(priced.day)), ready))
    last = max((step.ends_d for step in priced.calendar), default=0.0)
    on, foot = scale_of(rows, 0.0, last or 1.0), FIRST + height(rows)
    marks: list[Mark] = [title("The days of the build", accent_of(priced.shop.shop))]
    for day in ticks(0.0, last or 1.0, 6):
        if day == int(day):
            marks.append(Stroke(((on.x(day), FIRST - 3), (on.x(day), foot)), HAIR, 0.5))
            marks.append(Words(on.x(day), foot + 8, f"day {day:.0f}", SMALL, QUIET, "middle"))
    marks += bars(rows, on, FIRST)
    marks.append(Words(0.0, foot + 20, KEY, LABEL, QUIET))
    marks.append(
        Words(WIDTH, foot + 20, f"day 0: {text.long_day(priced.day)}, the order", LABEL, QUIET, "end")
    )
    words = "; ".join(f"{row.name} until {row.said}" for row in rows)
    return padded(Figure(WIDTH, foot + 24, "The days of the build", words, marks), EDGE)


def _spans(step: Step) -> tuple[Span, ...]:
    """Work and what it waits for: a step of a part ends with its cure."""
    if step.kind not in step_words():
        return (Span(step.starts_d, step.ends_d, PLANNED if step.kind in WAITS else SOLID),)
    rests = max(step.ends_d - step.hours / HOURS_OF_DAY, step.starts_d)
    return Span(step.starts_d, step.ends_d, PLANNED), Span(step.starts_d, rests, SOLID)
