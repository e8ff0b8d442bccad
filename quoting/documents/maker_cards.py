"""Cards of the maker's sheet for what is laid up, cast and flood-coated: each step with blanks to write in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from quoting.documents.maker_blocks import blanks
from quoting.documents.maker_page import heading, words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from quoting.documents.maker_page import Paper
    from quoting.documents.maker_text import MakerText
    from quoting.pricing.bench import LaminateCard, RoundCard
    from quoting.pricing.pouring import PourCard
    from quoting.pricing.record import Priced

CORNERS = ("corner", "corner", "corner", "corner", "middle", "resin left")
CORNER_SHARES = (41, 41, 41, 41, 42, 58)


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
    cure = text.measure(card.cure_h, "time")
    most = text.measure(card.most_vacuum_pa, "pressure")
    aim = f"{text.measure(card.vacuum_pa, 'pressure')} (the air here allows {most})" if card.vacuum_pa else ""
    yield words(
        f"{ink('resin', card.resin)}, amounts as whole (resin + hardener); cure {cure} before the next; "
        f"vacuum {aim or f'as deep as the air here allows, {most}'}.",
        "Resin",
    )
    cloths = [f"{ink('item', item)} {text.to_cut((long, wide))}" for item, long, wide in card.cloths_m]
    tape = ["reusable bag"] if card.reusable else [f"tape {text.run(card.tape_m)}"]
    counted = [f"{text.figures(f'{count:g}')} {ink('item', item)}" for item, count in card.counted]
    yield words(", ".join([*cloths, *tape, *counted]) + ".", "Each round")
    yield words(
        "four corners and middle when cured; vacuum when closed and 10 min later; temperature.", "Measure"
    )
    for one in card.rounds:
        said = _round(one, card, text)
        heads = _step("Round", one.number, len(card.rounds), card.path, priced, text)
        yield _kept([heads, *said, *_boxes(text, on, CORNERS, CORNER_SHARES)])


def _round(one: RoundCard, card: LaminateCard, text: MakerText) -> Iterator[Flowable]:
    film = _films(one.films_m, text)
    yield words(laid(one.plies, text) + (f"; film {film}" if film else "") + ".", "Lay")
    yield words(f"{text.mix(one.mix)}.", "Mix")
    limit = text.share(card.most_share)
    yield words(
        f"within {text.minutes(one.clock_h)} of the first mix: {text.share(one.clock_share)} of "
        f"{text.minutes(card.working_h)} (limit {limit}).",
        "Close",
    )
    flat = f", then flattened to {text.height(one.flat_m)}" if one.removed_m else ""
    yield words(f"{text.height(one.height_m)}{flat}.", "Target")


def laid(plies: Sequence[tuple[str, int]], text: MakerText) -> str:
    """Plies in the order they are laid; a pattern that repeats is told once."""
    runs = list(plies)
    for length in range(1, len(runs) // 2 + 1):
        if len(runs) % length == 0 and runs == runs[:length] * (len(runs) // length):
            pattern, again = runs[:length], len(runs) // length
            return f"{again} times {_runs(pattern, text)}"
    return _runs(runs, text)


def _runs(runs: Sequence[tuple[str, int]], text: MakerText) -> str:
    return " + ".join(f"{count} {text.ink('item', item)}" for item, count in runs)


def _films(films_m: Sequence[tuple[float, float]], text: MakerText) -> str:
    sizes = [text.to_cut(sides) for sides in films_m]
    if len(sizes) > 1 and len(set(sizes)) == 1:
        return f"{len(sizes)} of {sizes[0]}"
    return " and ".join(sizes)


def pour_card(card: PourCard, priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """What every pour or coat has alike, and blanks for each."""
    name, first = ("Casting", "Pour") if card.trade == "casting" else ("Flood coats", "Coat")
    yield heading(f"{name}: {text.ink('part', card.part)}{_each(card.times)}", on)
    deep = "" if card.depth_m is None else f"{text.height(card.depth_m)} deep, "
    yield words(
        f"{text.ink('resin', card.resin)}, {text.mix(card.mix)}; {deep}most {text.height(card.deepest_m)}; "
        f"working time {text.minutes(card.working_h)}; cure {text.measure(card.cure_h, 'time')}.",
        f"Each {first.lower()}",
    )
    for number in range(1, card.steps + 1):
        head = _step(first, number, card.steps, card.path, priced, text)
        labels = ("mixed", "poured", text_temperature(text), "depth", "resin left")
        yield _kept([head, Spacer(1, 1), blanks(labels, (52, 52, 52, 50, 58), on.column)])


def _step(name: str, number: int, count: int, path: str, priced: Priced, text: MakerText) -> Flowable:
    """The heading of a step, with the day on which the calendar has it."""
    days = [one for one in priced.calendar if one.part == path and one.number == number]
    when = ""
    for one in days:
        day = one.first_day(priced.day)
        when = f"{text.day(day)}, day {(day - priced.day).days}"
    return words(when, f"{name} {number} of {count}", spaceBefore=3)


def _boxes(text: MakerText, on: Paper, labels: Sequence[str], shares: Sequence[float]) -> Iterator[Flowable]:
    first = ("start", "closed", "vacuum", "+10 min", text_temperature(text))
    yield Spacer(1, 1)
    yield blanks(first, (1,) * len(first), on.column)
    yield blanks(labels, shares, on.column)


def text_temperature(text: MakerText) -> str:
    """The label of a temperature."""
    return "temp °F" if text.inch else "temp °C"


def _each(times: int) -> str:
    return f", for each of {times}" if times > 1 else ""


def _kept(flowables: Sequence[Flowable]) -> Flowable:
    return KeepTogether(list(flowables))
