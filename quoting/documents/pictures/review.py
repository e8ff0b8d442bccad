"""Pictures of a review: the bridge from quoted to actual margin, hours by task, a laminate round by round."""

from collections.abc import Iterator, Sequence

from quoting.documents.paper.text import Ink, QuoteText, glyphs
from quoting.documents.pictures import marks
from quoting.pricing.record import Priced
from quoting.review.bridge import STEPS
from quoting.review.statement import RoundWas, Statement, Task
from quoting.values import INCH_M

MOST_TASKS = 14
AS_PLANNED_H = 0.05
PLOT_HEIGHT, PLOT_TOP = 90.0, 36.0
RULES = {"inch": ("in", 1 / INCH_M), "metric": ("mm", 1000.0)}
"""How thickness is read at the bench, by the units of the shop: its unit, and how many a metre has."""


def review_pictures(priced: Priced, found: Statement) -> dict[str, marks.Figure]:
    """All pictures of a review, under the names of their files: a part names none, for its name is anybody's text."""
    rounds = {
        f"rounds {number}": rounds_were_picture(priced, part, were)
        for number, (part, were) in enumerate(found.rounds.items(), start=1)
    }
    return {"bridge": bridge_picture(priced, found), "hours": hours_picture(priced, found.tasks), **rounds}


def bridge_picture(priced: Priced, found: Statement) -> marks.Figure:
    """A bar a step, from where the step before ended: what was quoted, what took from it, what is left."""
    text, way = QuoteText(priced), found.way
    at = float(way.quoted)
    rows = [marks.bar("margin quoted", 0, at, marks.SOLID, text.money(way.quoted), bold=True)]
    for name, words in STEPS.items():
        effect = way.steps[name]
        if effect:
            colour = marks.SOLID if effect > 0 else marks.AGAINST
            rows.append(marks.bar(words, at, at + float(effect), colour, text.money(effect)))
            at += float(effect)
    ended = marks.SOLID if at >= 0 else marks.AGAINST
    rows.append(marks.bar("margin earned", 0, at, ended, text.money(way.actual), bold=True))
    said, name = "From the margin quoted to the margin earned", "From quoted to actual margin"
    words = f"Quoted {text.money(way.quoted)}, earned {text.money(way.actual)}."
    return marks.of_rows(said, words, rows, priced.shop.shop, name)


def hours_picture(priced: Priced, tasks: Sequence[Task]) -> marks.Figure:
    """Planned against actual hours by task: the plan pale, what it took within it."""
    ink, shown = Ink(glyphs()), tasks[:MOST_TASKS]
    rows = []
    for one in shown:
        colour = marks.AGAINST if one.actual > one.planned + AS_PLANNED_H else marks.SOLID
        spans = (marks.Span(0.0, one.planned, marks.PLANNED), marks.Span(0.0, one.actual, colour, 0.5))
        rows.append(marks.Row(ink("task", one.name), spans, f"{one.actual:.1f} h of {one.planned:.1f} h"))
    on, foot = marks.scale_of(rows, 0.0), marks.FIRST + marks.height(rows)
    said = "Hours by task: planned (wide, pale) and actual (light where it was more)"
    words = "; ".join(f"{one.name}: {one.actual:.1f} h, planned {one.planned:.1f} h" for one in shown)
    bars = marks.bars(rows, on, marks.FIRST)
    return marks.framed(said, words, bars, foot, priced.shop.shop, "Hours by task")


def rounds_were_picture(priced: Priced, part: str, rounds: Sequence[RoundWas]) -> marks.Figure:
    """Thickness at the end of each round, and its laying time: planned and actual."""
    name = Ink(glyphs())("part", part)
    said = f"Rounds of {name}: planned (pale) and actual (dark)"
    half = marks.WIDTH / 2 - 14
    unit, size = RULES[priced.shop.shop.units]
    ends = [(one.planned_m, one.actual_m) for one in rounds]
    laying = [(one.planned_h, one.actual_h) for one in rounds]
    drawn = [
        *_plot(0, half, f"thickness at the end, {unit}", ends, size),
        *_plot(half + 28, half, "laying, h", laying, 1),
    ]
    measured = ((one.number, one.actual_m * size) for one in rounds if one.actual_m is not None)
    words = "; ".join(f"round {number}: {thick:.3g} {unit}" for number, thick in measured)
    foot = PLOT_TOP + PLOT_HEIGHT + 18
    return marks.framed(said, words, drawn, foot, priced.shop.shop, f"Rounds of {name}")


def _plot(
    left: float, wide: float, said: str, pairs: Sequence[tuple[float | None, float | None]], size: float
) -> Iterator[marks.Mark]:
    """Points by round, joined: the plan pale, what was measured dark; a round that nobody measured has none."""
    top, bottom = PLOT_TOP, PLOT_TOP + PLOT_HEIGHT
    values = [value * size for pair in pairs for value in pair if value is not None]
    most = max(values, default=1.0) or 1.0
    inner = left + 22

    def at(i: int, value: float) -> tuple[float, float]:
        return inner + (wide - 26) * (i + 0.5) / len(pairs), bottom - PLOT_HEIGHT * value / most

    yield marks.label(left, PLOT_TOP - 10, said)
    yield marks.Stroke(((inner, top), (inner, bottom), (left + wide, bottom)), marks.QUIET)
    for tick in marks.ticks(0.0, most, 4):
        yield marks.Stroke(((inner, at(0, tick)[1]), (left + wide, at(0, tick)[1])), marks.HAIR, 0.4)
        yield marks.Words(inner - 4, at(0, tick)[1] + 2.5, f"{tick:g}", marks.SMALL, marks.QUIET, "end")
    for side, colour in ((0, marks.PLANNED), (1, marks.SOLID)):
        points = [at(i, value * size) for i, pair in enumerate(pairs) if (value := pair[side]) is not None]
        if len(points) > 1:
            yield marks.Stroke(tuple(points), colour, 1.6)
        for x, y in points:
            yield marks.Box(x - 2, y - 2, 4, 4, colour)
    for i in range(len(pairs)):
        name = f"round {i + 1}" if len(pairs) < 7 else str(i + 1)
        yield marks.Words(at(i, 0)[0], bottom + 10, name, marks.SMALL, marks.QUIET, "middle")
