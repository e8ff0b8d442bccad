"""Pictures of a build: its days, a section through a laminate, and the clock of its rounds."""

from collections.abc import Callable, Iterator, Sequence

from quoting.documents.bench.sections import WAITS, named, stages_of
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import REGULAR, cut, width
from quoting.documents.pictures import marks
from quoting.pricing.bench import step_words
from quoting.pricing.bench_record import Step
from quoting.pricing.record import Priced
from quoting.trades.laminate.bagging import LaminateCard, RoundCard

HOURS_OF_DAY = 24.0
KEY = "Dark: days of work. Pale: waiting, cure and drying."

LEFT, PANEL, LINE = 52.0, 150.0, 10.0
"""Of the scale, of the section through the panel, and between two lines of words [pt]."""

HIGH = 130.0  # of the section, where its rounds need no more for their words [pt]
TINTS = ("#a9bccd", "#5b86b0", "#f1f4f7", marks.SOLID)
"""Of the plies of a laminate by their item."""


def days_picture(priced: Priced) -> marks.Figure:
    """A row a stage or part over the days after the order, down to the hand-over."""
    text = MakerText(priced)
    rows = []
    for steps in stages_of(priced):
        ready = steps[0].kind == "ready"
        spans = tuple(span for step in steps for span in _spans(step))
        rows.append(marks.Row(named(steps, text), spans, text.day(steps[-1].last_day(priced.day)), ready))
    last = max((step.ends_d for step in priced.calendar), default=0.0)
    on, foot = marks.scale_of(rows, 0.0, last or 1.0), marks.FIRST + marks.height(rows)
    drawn: list[marks.Mark] = []
    for day in marks.ticks(0.0, last or 1.0, 6):
        if day == int(day):
            x, said = on.x(day), f"day {day:.0f}"
            drawn.append(marks.Stroke(((x, marks.FIRST - 3), (x, foot)), marks.HAIR, 0.5))
            drawn.append(marks.Words(x, foot + 8, said, marks.SMALL, marks.QUIET, "middle"))
    ordered = f"day 0: {text.long_day(priced.day)}, the order"
    drawn += marks.bars(rows, on, marks.FIRST)
    drawn += [marks.label(0.0, foot + 20, KEY), marks.label(marks.WIDTH, foot + 20, ordered, anchor="end")]
    words = "; ".join(f"{row.name} until {row.said}" for row in rows)
    return marks.framed("The days of the build", words, drawn, foot + 24, priced.shop.shop)


def _spans(step: Step) -> tuple[marks.Span, ...]:
    """Work and what it waits for: a step of a part ends with its cure."""
    if step.kind not in step_words():
        return (marks.Span(step.starts_d, step.ends_d, marks.PLANNED if step.kind in WAITS else marks.SOLID),)
    rests = max(step.ends_d - step.hours / HOURS_OF_DAY, step.starts_d)
    waits = marks.Span(step.starts_d, step.ends_d, marks.PLANNED)
    return waits, marks.Span(step.starts_d, rests, marks.SOLID)


def section_picture(card: LaminateCard, priced: Priced) -> marks.Figure:
    """The panel from the table up: rounds with their blocks of plies, what flattening takes, the height wanted."""
    text = MakerText(priced)
    said = f"How {text.ink('part', card.part)} is built up, thickness enlarged"
    most = max(one.height_m for one in card.rounds)
    high = max(HIGH, LINE * 2 * len(card.rounds))
    foot = marks.FIRST + high

    def y(height_m: float) -> float:
        return foot - high * height_m / most

    drawn: list[marks.Mark] = []
    items = list(dict.fromkeys(item for one in card.rounds for item, _ in one.plies))
    laid = list(zip(card.rounds, [0.0, *(one.flat_m for one in card.rounds)], strict=False))
    for one, start in laid:
        drawn += _plies(one, y(start), y(one.height_m), items)
        if one.removed_m:
            taken = marks.Box(LEFT, y(one.height_m), PANEL, y(one.flat_m) - y(one.height_m), marks.PAPER)
            drawn += [taken, *marks.hatched(taken, marks.AGAINST), marks.outlined(taken, marks.AGAINST)]
    for one, start in laid:
        low, top = sorted((start, one.flat_m))
        box = marks.Box(LEFT, y(top), PANEL, y(low) - y(top), marks.INK)
        drawn.append(marks.outlined(box, marks.INK, 0.8))
    end = card.rounds[-1].flat_m
    for i, line in enumerate((text.height(end), "finished")):
        drawn.append(marks.label(LEFT - 5, y(end) + 3 + i * LINE, line, marks.INK, "end", bold=not i))
    drawn += _beside(laid[::-1], y, text)
    drawn += _key(items, foot + 14, text)
    words = "; ".join(_round_words(one, text) for one in card.rounds)
    return marks.framed(cut(said, REGULAR, 9.0, marks.WIDTH), words, drawn, foot + 20, priced.shop.shop)


def _plies(one: RoundCard, below: float, above: float, items: Sequence[str]) -> Iterator[marks.Mark]:
    """The blocks of a round from the lowest up; plies of one item have one tint."""
    count = sum(plies for _, plies in one.plies) or 1
    at = below
    for item, plies in one.plies:
        high = (below - above) * plies / count
        yield marks.Box(LEFT, at - high, PANEL, high, TINTS[items.index(item) % len(TINTS)])
        at -= high


def _beside(
    down: Sequence[tuple[RoundCard, float]], y: Callable[[float], float], text: MakerText
) -> Iterator[marks.Mark]:
    """Beside every round, from the top down, what is laid and the height of it; those of thin ones stand apart."""
    middles = marks.apart([(y(start) + y(one.flat_m)) / 2 for one, start in down], 2 * LINE, marks.FIRST + 4)
    right = LEFT + PANEL
    for (one, start), middle in zip(down, middles, strict=True):
        yield marks.Stroke(((right, (y(start) + y(one.flat_m)) / 2), (right + 12, middle)), marks.QUIET, 0.4)
        for i, line in enumerate(_round_words(one, text).split("\n")):
            kept = cut(line, REGULAR, marks.LABEL, marks.WIDTH - right - 15)
            yield marks.label(right + 15, middle + i * LINE - 1, kept, marks.INK)


def _round_words(one: RoundCard, text: MakerText) -> str:
    taken = f"; {text.height(one.removed_m)} flattened off" if one.removed_m else ""
    return f"Round {one.number}: {text.laid(one.plies)}\nto {text.height(one.height_m)} cured{taken}"


def _key(items: Sequence[str], y: float, text: MakerText) -> Iterator[marks.Mark]:
    """A square of each tint beside its item, and what the hatch is."""
    x = 0.0
    for i, item in enumerate(items[: len(TINTS)]):
        name = cut(text.ink("item", item), REGULAR, marks.LABEL, 120.0)
        square = marks.Box(x, y - 6, 7, 7, TINTS[i])
        yield from (square, marks.outlined(square, marks.INK, 0.4), marks.label(x + 10, y, name))
        x += 20 + width(name, REGULAR, marks.LABEL)
    yield marks.label(marks.WIDTH, y, "hatched: what flattening takes", anchor="end")


def rounds_picture(card: LaminateCard, priced: Priced) -> marks.Figure:
    """A bar a round: from the first mix to the closed bag, over the time that the resin works."""
    text = MakerText(priced)
    said = f"Rounds of {text.ink('part', card.part)}: from the first mix to the closed bag"
    rows = []
    for one in card.rounds:
        colour = marks.SOLID if one.clock_h <= card.latest_h else marks.AGAINST
        spans = (marks.Span(0.0, card.working_h, marks.PLANNED), marks.Span(0.0, one.clock_h, colour, 0.5))
        clock = f"{text.minutes(one.clock_h)} of {text.minutes(card.working_h)}"
        rows.append(marks.Row(f"round {one.number}", spans, clock))
    on, foot = marks.scale_of(rows, 0.0), marks.FIRST + marks.height(rows)
    latest = f"latest: {text.minutes(card.latest_h)}"
    drawn = [
        *marks.bars(rows, on, marks.FIRST),
        marks.line_at(card.latest_h, on, marks.FIRST - 3, foot),
        marks.label(on.x(card.latest_h), foot + 8, latest, marks.INK, "middle"),
        marks.label(0.0, foot + 8, "pale: while the resin works"),
    ]
    words = "; ".join(f"{row.name}: {row.said}" for row in rows)
    return marks.framed(said, words, drawn, foot + 12, priced.shop.shop)
