"""Pictures of a build: its days, a section through a laminate, and the clock of its rounds."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from quoting.documents.bench.cards import laid
from quoting.documents.bench.sections import WAITS, named
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import REGULAR, Ink, cut, glyphs, width
from quoting.documents.pictures.marks import (
    AGAINST,
    EDGE,
    FIRST,
    HAIR,
    INK,
    LABEL,
    PAPER,
    PLANNED,
    QUIET,
    SMALL,
    SOLID,
    WIDTH,
    Box,
    Figure,
    Row,
    Span,
    Stroke,
    Words,
    accent_of,
    apart,
    bars,
    hatched,
    height,
    line_at,
    outlined,
    padded,
    scale_of,
    ticks,
    title,
)
from quoting.pricing.calendar import STEPS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from quoting.documents.pictures.marks import Mark
    from quoting.pricing.bench import LaminateCard, RoundCard
    from quoting.pricing.calendar import Step
    from quoting.pricing.record import Priced


HOURS_OF_DAY = 24.0
KEY = "Dark: days of work. Pale: waiting, cure and drying."


LEFT, PANEL, LINE = 52.0, 150.0, 10.0
"""Of the scale, of the section through the panel, and between two lines of words [pt]."""

HIGH = 130.0  # of the section, where its rounds need no more for their words [pt]
TINTS = ("#a9bccd", "#5b86b0", "#f1f4f7", SOLID)
"""Of the plies of a laminate by their item."""


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
    if step.kind not in STEPS.values():
        return (Span(step.starts_d, step.ends_d, PLANNED if step.kind in WAITS else SOLID),)
    rests = max(step.ends_d - step.hours / HOURS_OF_DAY, step.starts_d)
    return Span(step.starts_d, step.ends_d, PLANNED), Span(step.starts_d, rests, SOLID)


def section_picture(card: LaminateCard, priced: Priced) -> Figure:
    """The panel from the table up: rounds with their blocks of plies, what flattening takes, the height wanted."""
    text = MakerText(priced, Ink(glyphs()))
    said = cut(f"How {text.ink('part', card.part)} is built up, thickness enlarged", REGULAR, 9.0, WIDTH)
    most = max(one.height_m for one in card.rounds)
    high = max(HIGH, LINE * 2 * len(card.rounds))
    foot = FIRST + high

    def y(height_m: float) -> float:
        return foot - high * height_m / most

    marks: list[Mark] = [title(said, accent_of(priced.shop.shop))]
    items = list(dict.fromkeys(item for one in card.rounds for item, _ in one.plies))
    starts = [0.0, *(one.flat_m for one in card.rounds)]
    for one, start in zip(card.rounds, starts, strict=False):
        marks += _plies(one, y(start), y(one.height_m), items)
        if one.removed_m:
            taken = Box(LEFT, y(one.height_m), PANEL, y(one.flat_m) - y(one.height_m), PAPER)
            marks += [taken, *hatched(taken, AGAINST), outlined(taken, AGAINST)]
    for one, start in zip(card.rounds, starts, strict=False):
        low, top = sorted((start, one.flat_m))
        marks.append(outlined(Box(LEFT, y(top), PANEL, y(low) - y(top), INK), INK, 0.8))
    end = card.rounds[-1].flat_m
    for i, line in enumerate((text.height(end), "finished")):
        marks.append(Words(LEFT - 5, y(end) + 3 + i * LINE, line, LABEL, INK, "end", bold=not i))
    marks += _told(card.rounds, starts, y, text)
    marks += _key(items, foot + 14, text)
    words = "; ".join(_round_words(one, text) for one in card.rounds)
    return padded(Figure(WIDTH, foot + 20, said, words, marks), EDGE)


def _plies(one: RoundCard, below: float, above: float, items: Sequence[str]) -> Iterator[Mark]:
    """The blocks of a round from the lowest up; plies of one item have one tint."""
    count = sum(plies for _, plies in one.plies) or 1
    at = below
    for item, plies in one.plies:
        high = (below - above) * plies / count
        yield Box(LEFT, at - high, PANEL, high, TINTS[items.index(item) % len(TINTS)])
        at -= high


def _told(
    rounds: Sequence[RoundCard], starts: Sequence[float], y: Callable[[float], float], text: MakerText
) -> Iterator[Mark]:
    """Beside every round, from the top down, what is laid and the height of it; those of thin ones stand apart."""
    down = [(one, start) for one, start in zip(rounds, starts, strict=False)][::-1]
    middles = apart([(y(start) + y(one.flat_m)) / 2 for one, start in down], 2 * LINE, FIRST + 4)
    right = LEFT + PANEL
    for (one, start), middle in zip(down, middles, strict=True):
        yield Stroke(((right, (y(start) + y(one.flat_m)) / 2), (right + 12, middle)), QUIET, 0.4)
        for i, line in enumerate(_round_words(one, text).split("\n")):
            yield Words(
                right + 15, middle + i * LINE - 1, cut(line, REGULAR, LABEL, WIDTH - right - 15), LABEL, INK
            )


def _round_words(one: RoundCard, text: MakerText) -> str:
    taken = f"; {text.height(one.removed_m)} flattened off" if one.removed_m else ""
    return f"Round {one.number}: {laid(one.plies, text)}\nto {text.height(one.height_m)} cured{taken}"


def _key(items: Sequence[str], y: float, text: MakerText) -> Iterator[Mark]:
    """A square of each tint beside its item, and what the hatch is."""
    x = 0.0
    for i, item in enumerate(items[: len(TINTS)]):
        name = cut(text.ink("item", item), REGULAR, LABEL, 120.0)
        square = Box(x, y - 6, 7, 7, TINTS[i])
        yield from (square, outlined(square, INK, 0.4), Words(x + 10, y, name, LABEL, QUIET))
        x += 20 + width(name, REGULAR, LABEL)
    yield Words(WIDTH, y, "hatched: what flattening takes", LABEL, QUIET, "end")


def rounds_picture(card: LaminateCard, priced: Priced) -> Figure:
    """A bar a round: from the first mix to the closed bag, over the time that the resin works."""
    text = MakerText(priced, Ink(glyphs()))
    said = f"Rounds of {text.ink('part', card.part)}: from the first mix to the closed bag"
    rows = [
        Row(
            f"round {one.number}",
            (
                Span(0.0, card.working_h, PLANNED),
                Span(0.0, one.clock_h, SOLID if one.clock_h <= card.latest_h else AGAINST, 0.5),
            ),
            f"{text.minutes(one.clock_h)} of {text.minutes(card.working_h)}",
        )
        for one in card.rounds
    ]
    on, foot = scale_of(rows, 0.0), FIRST + height(rows)
    marks: list[Mark] = [title(said, accent_of(priced.shop.shop)), *bars(rows, on, FIRST)]
    marks.append(line_at(card.latest_h, on, FIRST - 3, foot))
    latest = f"latest: {text.minutes(card.latest_h)}"
    marks.append(Words(on.x(card.latest_h), foot + 8, latest, LABEL, INK, "middle"))
    marks.append(Words(0.0, foot + 8, "pale: while the resin works", LABEL, QUIET))
    words = "; ".join(f"{row.name}: {row.said}" for row in rows)
    return padded(Figure(WIDTH, foot + 12, said, words, marks), EDGE)
