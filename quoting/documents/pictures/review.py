"""Pictures of a review: the bridge from quoted to actual margin, hours by task, a laminate round by round."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.paper.fonts import glyphs
from quoting.documents.paper.text import Ink, QuoteText
from quoting.documents.pictures.marks import (
    AGAINST,
    EDGE,
    FIRST,
    HAIR,
    LABEL,
    PLANNED,
    QUIET,
    SMALL,
    SOLID,
    WIDTH,
    Box,
    Figure,
    Stroke,
    Words,
    accent_of,
    padded,
    ticks,
    title,
)
from quoting.documents.pictures.rows import Row, Span, bars, height, line_at, scale_of
from quoting.review.bridge import STEPS
from quoting.values import INCH_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.documents.pictures.marks import Mark
    from quoting.pricing.record import Priced
    from quoting.review.statement import RoundWas, Statement, Task

MOST_TASKS = 14
AS_PLANNED_H = 0.05
PLOT_HEIGHT, PLOT_TOP = 90.0, 36.0
RULES = {"inch": ("in", 1 / INCH_M), "metric": ("mm", 1000.0)}
"""How thickness is read at the bench, by the units of the shop: its unit, and how many a metre has."""


def review_pictures(priced: Priced, found: Statement) -> dict[str, Figure]:
    """All pictures of a review, under the names of their files: a part names none, for its name is anybody's text."""
    rounds = {
        f"rounds {number}": rounds_were_picture(priced, part, were)
        for number, (part, were) in enumerate(found.rounds.items(), start=1)
    }
    return {"bridge": bridge_picture(priced, found), "hours": hours_picture(priced, found.tasks), **rounds}


def bridge_picture(priced: Priced, found: Statement) -> Figure:
    """A bar a step, from where the step before ended: what was quoted, what took from it, what is left."""
    text, way = QuoteText(priced, Ink(glyphs())), found.way
    at = float(way.quoted)
    rows = [Row("margin quoted", (Span(0.0, at, SOLID),), text.money(way.quoted), bold=True)]
    for name, words in STEPS.items():
        effect = way.steps[name]
        if effect:
            colour = SOLID if effect > 0 else AGAINST
            rows.append(Row(words, (Span(at, at + float(effect), colour),), text.money(effect)))
            at += float(effect)
    ended = SOLID if at >= 0 else AGAINST
    rows.append(Row("margin earned", (Span(0.0, at, ended),), text.money(way.actual), bold=True))
    on, foot = scale_of(rows, 0.0), FIRST + height(rows)
    marks: list[Mark] = [title("From the margin quoted to the margin earned", accent_of(priced.shop.shop))]
    marks = [*marks, *bars(rows, on, FIRST), line_at(0.0, on, FIRST - 3, foot)]
    words = f"Quoted {text.money(way.quoted)}, earned {text.money(way.actual)}."
    return padded(Figure(WIDTH, foot + 4, "From quoted to actual margin", words, marks), EDGE)


def hours_picture(priced: Priced, tasks: Sequence[Task]) -> Figure:
    """Planned against actual hours by task: the plan pale, what it took within it."""
    ink, shown = Ink(glyphs()), tasks[:MOST_TASKS]
    rows = []
    for one in shown:
        colour = AGAINST if one.actual > one.planned + AS_PLANNED_H else SOLID
        spans = (Span(0.0, one.planned, PLANNED), Span(0.0, one.actual, colour, 0.5))
        rows.append(Row(ink("task", one.name), spans, f"{one.actual:.1f} h of {one.planned:.1f} h"))
    on, foot = scale_of(rows, 0.0), FIRST + height(rows)
    said = "Hours by task: planned (wide, pale) and actual (light where it was more)"
    marks = [title(said, accent_of(priced.shop.shop)), *bars(rows, on, FIRST)]
    words = "; ".join(f"{one.name}: {one.actual:.1f} h, planned {one.planned:.1f} h" for one in shown)
    return padded(Figure(WIDTH, foot, "Hours by task", words, marks), EDGE)


def rounds_were_picture(priced: Priced, part: str, rounds: Sequence[RoundWas]) -> Figure:
    """Thickness at the end of each round, and its laying time: planned and actual."""
    name = Ink(glyphs())("part", part)
    said = f"Rounds of {name}: planned (pale) and actual (dark)"
    half = WIDTH / 2 - 14
    unit, size = RULES[priced.shop.shop.units]
    marks = [
        title(said, accent_of(priced.shop.shop)),
        *_plot(
            0, half, f"thickness at the end, {unit}", [(one.planned_m, one.actual_m) for one in rounds], size
        ),
        *_plot(half + 28, half, "laying, h", [(one.planned_h, one.actual_h) for one in rounds], 1),
    ]
    words = "; ".join(
        f"round {one.number}: {one.actual_m * size:.3g} {unit}" for one in rounds if one.actual_m is not None
    )
    return padded(Figure(WIDTH, PLOT_TOP + PLOT_HEIGHT + 18, f"Rounds of {name}", words, marks), EDGE)


def _plot(
    left: float, wide: float, said: str, pairs: Sequence[tuple[float | None, float | None]], size: float
) -> Iterator[Mark]:
    """Points by round, joined: the plan pale, what was measured dark; a round that nobody measured has none."""
    top, bottom = PLOT_TOP, PLOT_TOP + PLOT_HEIGHT
    values = [value * size for pair in pairs for value in pair if value is not None]
    most = max(values, default=1.0) or 1.0
    inner = left + 22

    def at(i: int, value: float) -> tuple[float, float]:
        return inner + (wide - 26) * (i + 0.5) / len(pairs), bottom - PLOT_HEIGHT * value / most

    yield Words(left, PLOT_TOP - 10, said, LABEL, QUIET)
    yield Stroke(((inner, top), (inner, bottom), (left + wide, bottom)), QUIET)
    for tick in ticks(0.0, most, 4):
        yield Stroke(((inner, at(0, tick)[1]), (left + wide, at(0, tick)[1])), HAIR, 0.4)
        yield Words(inner - 4, at(0, tick)[1] + 2.5, f"{tick:g}", SMALL, QUIET, "end")
    for side, colour in ((0, PLANNED), (1, SOLID)):
        points = [at(i, value * size) for i, pair in enumerate(pairs) if (value := pair[side]) is not None]
        if len(points) > 1:
            yield Stroke(tuple(points), colour, 1.6)
        for x, y in points:
            yield Box(x - 2, y - 2, 4, 4, colour)
    for i in range(len(pairs)):
        yield Words(
            at(i, 0)[0],
            bottom + 10,
            f"round {i + 1}" if len(pairs) < 7 else str(i + 1),
            SMALL,
            QUIET,
            "middle",
        )
