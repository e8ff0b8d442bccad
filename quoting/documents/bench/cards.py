"""Cards of the maker's sheet for what is laid up, cast and flood-coated: each step with blanks to write in."""

from collections.abc import Iterator, Sequence

from reportlab.platypus import Flowable, KeepTogether, Spacer

from quoting.declaration import LAY_UP
from quoting.documents.bench.page import Paper, blanks, heading, words
from quoting.documents.bench.text import MakerText
from quoting.pricing.record import PourCard, Priced
from quoting.trades.laminate.bagging import LaminateCard, RoundCard
from quoting.trades.registry import chain_of

CORNERS = ("corner", "corner", "corner", "corner", "middle", "resin left")
CORNER_SHARES, EVEN = (41, 41, 41, 41, 42, 58), (1, 1, 1, 1, 1)
DAY = ", day "
POUR_SHARES = (88, 42, 42, 40, 52)


def cards(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """The cards of a job: laminates, then pours and coats."""
    for panel in priced.bench:
        yield from laminate_card(panel, priced, text, on)
    for poured in priced.pours:
        yield from pour_card(poured, priced, text, on)


def laminate_card(card: LaminateCard, priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """What every round has alike, and each round."""
    yield heading(f"Laminate card: {text.ink('part', card.part)}{_each(card.times)}", on)
    ink = text.ink
    most = text.measure(card.most_vacuum_pa, "pressure")
    aim = f"{text.measure(card.vacuum_pa, 'pressure')} (air here: {most})" if card.vacuum_pa else most
    cure = text.measure(card.cure_h, "time")
    resin = f"{ink('item', card.resin)}; mixes: whole (resin + hardener); cure {cure}; vacuum {aim}."
    yield words(resin, "Resin")
    cloths = [f"{ink('item', item)} {text.to_cut((long, wide))}" for item, long, wide in card.cloths_m]
    tape = ["reusable bag"] if card.reusable else [f"tape {text.run(card.tape_m)}"]
    counted = [f"{text.figures(f'{count:g}')} {ink('item', item)}" for item, count in card.counted]
    yield words(", ".join([*cloths, *tape, *counted]) + ".", "Each round")
    yield words("when cured: the four corners and the middle.", "Measure")
    first = ("start", "closed", "vacuum", "+10 min", _temperature(text))
    whose = f"{ink('part', card.part)}: " if len(priced.bench) > 1 else ""
    for one in card.rounds:
        when, name = _step("Round", one.number, len(card.rounds), card.path, priced, text)
        written = [blanks(first, EVEN, on.column), blanks(CORNERS, CORNER_SHARES, on.column)]
        head = words(f"{whose}{when}", name, spaceBefore=3)
        yield KeepTogether([head, *_round(one, card, text), Spacer(1, 1.5), *written])


def _round(one: RoundCard, card: LaminateCard, text: MakerText) -> Iterator[Flowable]:
    yield words(f"{laid(one.plies, text)}.", "Lay")
    yield words(f"{text.mix(one.mix)}.", "Mix")
    share = f"{text.share(one.clock_share)} of {text.minutes(card.working_h)}"
    yield words(f"by {text.minutes(one.clock_h)}, latest {text.minutes(card.latest_h)} ({share}).", "Close")
    flat = f", {text.height(one.flat_m)} flattened" if one.removed_m else ""
    target = f"{text.height(one.height_m)} cured{flat}."
    sizes = [text.to_cut(sides) for sides in one.films_m]
    alike = len(sizes) > 1 and len(set(sizes)) == 1
    films = f"{len(sizes)} of {sizes[0]}" if alike else " and ".join(sizes)
    yield words(f"{films}; target {target}", "Film") if films else words(target, "Target")


def laid(plies: Sequence[tuple[str, int]], text: MakerText) -> str:
    """Plies in the order they are laid; a pattern that repeats is told once."""
    runs = list(plies)
    for length in range(1, len(runs) // 2 + 1):
        if len(runs) % length == 0 and runs == runs[:length] * (len(runs) // length):
            pattern, again = runs[:length], len(runs) // length
            return f"{again} × ({_runs(pattern, text)})"
    return _runs(runs, text)


def _runs(runs: Sequence[tuple[str, int]], text: MakerText) -> str:
    return " + ".join(f"{count} {text.ink('item', item)}" for item, count in runs)


def pour_card(card: PourCard, priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """What every pour or coat has alike, and blanks for each."""
    name, first = ("Casting", "Pour") if chain_of(card.trade) == LAY_UP else ("Flood coats", "Coat")
    yield heading(f"{name}: {text.ink('part', card.part)}{_each(card.times)}", on)
    most = text.measure(card.deepest_m, "length")
    deep = f"at most {most} deep"
    if card.depth_m is not None:
        deep = f"{text.measure(card.depth_m, 'length')} deep (most {most})"
    resin, cure = text.ink("item", card.resin), text.measure(card.cure_h, "time")
    used = f"use within {text.minutes(card.working_h)}; cure {cure}."
    yield words(f"{resin} {text.mix(card.mix)}; {deep}; {used}", f"Each {first.lower()}")
    yield Spacer(1, 1)
    for number in range(1, card.steps + 1):
        when, name = _step(first, number, card.steps, card.path, priced, text)
        labels = (f"{name}\n{when.partition(DAY)[0]}", "poured", _temperature(text), "depth", "resin left")
        yield blanks(labels, POUR_SHARES, on.column)


def _step(name: str, number: int, count: int, path: str, priced: Priced, text: MakerText) -> tuple[str, str]:
    """The day on which the calendar has a step, and the step."""
    days = (one.first_day(priced.day) for one in priced.calendar if one.part == path and one.number == number)
    when = ", ".join(f"{text.day(day)}{DAY}{(day - priced.day).days}" for day in days)
    return when, f"{name} {number} of {count}"


def _temperature(text: MakerText) -> str:
    return "temp °F" if text.inch else "temp °C"


def _each(times: int) -> str:
    return f", for each of {times}" if times > 1 else ""
