"""Figures of a review: the bridge from quoted to actual margin, hours by task, a laminate round by round."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.figure import Box, Figure, Stroke, Words, padded, ticks
from quoting.documents.fonts import REGULAR, cut, glyphs
from quoting.documents.page import readable
from quoting.documents.quote_text import Ink, QuoteText
from quoting.hindsight.bridge import STEPS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.hindsight.statement import Statement
    from quoting.hindsight.tasks import RoundWas, Task
    from quoting.pricing.record import Priced

    Mark = Box | Stroke | Words

WIDTH, LABELS, BAR, GAP, EDGE = 480.0, 190.0, 11.0, 5.0, 8.0
QUIET, PALE, DEAR, LINE = "#595959", "#c9c9c9", "#b4532a", "#1c1c1c"
MOST_TASKS = 14
AS_PLANNED_H = 0.05
PLOT_HEIGHT = 90.0


def _accent(priced: Priced) -> str:
    return str(readable(priced.shop.shop.accent).hexval()).replace("0x", "#")


def bridge_figure(priced: Priced, found: Statement) -> Figure:
    """A bar a step, from where the step before ended: what was quoted, what took from it, what is left."""
    text, accent, way = QuoteText(priced, Ink(glyphs())), _accent(priced), found.way
    levels, at = [], float(way.quoted)
    rows: list[tuple[str, float, float, str, str]] = [("quoted", 0.0, at, accent, text.money(way.quoted))]
    for name, words in STEPS.items():
        effect = way.steps[name]
        if effect:
            colour = accent if effect > 0 else DEAR
            rows.append((words, at, at + float(effect), colour, text.money(effect)))
            at += float(effect)
    rows.append(("actual", 0.0, at, accent if at >= 0 else DEAR, text.money(way.actual)))
    levels = [level for _, start, end, *_ in rows for level in (start, end)]
    low, high = min(levels), max(levels)
    room, right = (high - low) or 1.0, WIDTH - 70

    def x(value: float) -> float:
        return LABELS + (right - LABELS) * (value - low) / room

    marks: list[Mark] = [Words(0, 10, "From the margin quoted to the margin earned", 9.5, accent, bold=True)]
    for i, (words, start, end, colour, said) in enumerate(rows):
        y = 22 + i * (BAR + GAP)
        ends = i in (0, len(rows) - 1)
        marks.append(
            Words(LABELS - 6, y + BAR - 2.5, cut(words, REGULAR, 7.5, LABELS - 8), 7.5, LINE, "end", ends)
        )
        marks.append(Box(min(x(start), x(end)), y, max(abs(x(end) - x(start)), 0.4), BAR, colour))
        marks.append(Words(WIDTH, y + BAR - 2.5, said, 7.5, LINE, "end", ends))
    foot = 22 + len(rows) * (BAR + GAP)
    marks.append(Stroke(((x(0.0), 18), (x(0.0), foot)), LINE, 0.6))
    words = f"Quoted {text.money(way.quoted)}, earned {text.money(way.actual)}."
    return padded(Figure(WIDTH, foot + 4, "From quoted to actual margin", words, marks), EDGE)


def hours_figure(priced: Priced, tasks: Sequence[Task]) -> Figure:
    """Planned against actual hours by task: the plan pale, what it took in front of it."""
    accent, shown = _accent(priced), tasks[:MOST_TASKS]
    ink = Ink(glyphs())
    most = max([*(one.planned for one in shown), *(one.actual for one in shown), 1e-9])
    marks: list[Mark] = [Words(0, 10, "Hours by task: planned (pale) and actual", 9.5, accent, bold=True)]
    for i, one in enumerate(shown):
        y = 22 + i * (2 * BAR - 4 + GAP)
        wide = WIDTH - LABELS - 90
        name = cut(ink("task", one.name), REGULAR, 7.5, LABELS - 8)
        marks.append(Words(LABELS - 6, y + BAR - 1, name, 7.5, LINE, "end"))
        marks.append(Box(LABELS, y, max(wide * one.planned / most, 0.4), BAR - 2, PALE))
        colour = DEAR if one.actual > one.planned + AS_PLANNED_H else accent
        marks.append(Box(LABELS, y + BAR - 2, max(wide * one.actual / most, 0.4), BAR - 2, colour))
        said = f"{one.actual:.1f} h of {one.planned:.1f} h"
        marks.append(Words(WIDTH, y + BAR - 1, said, 7.5, LINE, "end"))
    height = 22 + len(shown) * (2 * BAR - 4 + GAP)
    words = "; ".join(f"{one.name}: {one.actual:.1f} h, planned {one.planned:.1f} h" for one in shown)
    return padded(Figure(WIDTH, height, "Hours by task", words, marks), EDGE)


def rounds_figure(priced: Priced, part: str, rounds: Sequence[RoundWas]) -> Figure:
    """Thickness at the end of each round, and its laying time: planned and actual."""
    accent = _accent(priced)
    name = Ink(glyphs())("part", part)
    marks: list[Mark] = [
        Words(
            0,
            10,
            cut(f"Rounds of {name}: planned (grey) and actual", REGULAR, 9.5, WIDTH),
            9.5,
            accent,
            bold=True,
        )
    ]
    half = WIDTH / 2 - 14
    marks += _plot(
        0, half, "thickness at the end, mm", [(one.planned_m, one.actual_m) for one in rounds], 1000, accent
    )
    marks += _plot(half + 28, half, "laying, h", [(one.planned_h, one.actual_h) for one in rounds], 1, accent)
    words = "; ".join(
        f"round {one.number}: {one.actual_m * 1000:.1f} mm" for one in rounds if one.actual_m is not None
    )
    return padded(Figure(WIDTH, 36 + PLOT_HEIGHT + 18, f"Rounds of {name}", words, marks), EDGE)


def _plot(
    left: float,
    wide: float,
    title: str,
    pairs: Sequence[tuple[float | None, float | None]],
    size: float,
    accent: str,
) -> Iterator[Mark]:
    """Points by round, joined: the plan grey, what was measured in colour; a round that nobody measured has none."""
    top, bottom = 36.0, 36.0 + PLOT_HEIGHT
    values = [value * size for pair in pairs for value in pair if value is not None]
    most = max(values, default=1.0) or 1.0
    inner = left + 22

    def at(i: int, value: float) -> tuple[float, float]:
        return inner + (wide - 26) * (i + 0.5) / len(pairs), bottom - PLOT_HEIGHT * value / most

    yield Words(left, 26, title, 7.5, QUIET)
    yield Stroke(((inner, top), (inner, bottom), (left + wide, bottom)), QUIET)
    for tick in ticks(0.0, most, 4):
        yield Words(inner - 4, bottom - PLOT_HEIGHT * tick / most + 2.5, f"{tick:g}", 7, QUIET, "end")
    for side, colour in ((0, PALE), (1, accent)):
        points = [at(i, value * size) for i, pair in enumerate(pairs) if (value := pair[side]) is not None]
        if len(points) > 1:
            yield Stroke(tuple(points), colour, 1.2)
        for x, y in points:
            yield Box(x - 2, y - 2, 4, 4, colour)
    for i in range(len(pairs)):
        yield Words(at(i, 0)[0], bottom + 10, str(i + 1), 7, QUIET, "middle")
