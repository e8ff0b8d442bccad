"""The maker's sheet as a PDF, marked internal: take-off, buying list, cards, calendar, cautions.

One page where it can be: several orders of the sections are tried, with larger type where there is room. A
larger job runs on; nothing is left out or cut short. Cards are of what is laid up, cast and flood-coated: each step with blanks to write in.
"""

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import NamedTuple

from reportlab.platypus import Flowable, FrameBreak, KeepTogether, NextPageTemplate, PageBreak, Spacer

from quoting.declaration import LAY_UP
from quoting.documents.bench.page import WHOLE, Paper, blanks, heading, in_columns, words
from quoting.documents.bench.sections import buying, calendar, cautions, take_off
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.page import sheet
from quoting.documents.pictures.price import risk_picture
from quoting.documents.pictures.writers import drawing
from quoting.pricing.bench_record import PourCard
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced, Warned
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
    yield words(f"{text.laid(one.plies)}.", "Lay")
    yield words(f"{text.mix(one.mix)}.", "Mix")
    share = f"{text.share(one.clock_share)} of {text.minutes(card.working_h)}"
    yield words(f"by {text.minutes(one.clock_h)}, latest {text.minutes(card.latest_h)} ({share}).", "Close")
    flat = f", {text.height(one.flat_m)} flattened" if one.removed_m else ""
    target = f"{text.height(one.height_m)} cured{flat}."
    sizes = [text.to_cut(sides) for sides in one.films_m]
    alike = len(sizes) > 1 and len(set(sizes)) == 1
    films = f"{len(sizes)} of {sizes[0]}" if alike else " and ".join(sizes)
    yield words(f"{films}; target {target}", "Film") if films else words(target, "Target")


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


def to_next_column(*_: object) -> Iterator[Flowable]:
    """What follows begins in the next column."""
    yield FrameBreak()


Section = Callable[[Priced, MakerText, Paper], Iterator[Flowable]]
FLOW: tuple[Section, ...] = (take_off, buying, calendar, cards, cautions)
ORDERS: tuple[tuple[Section, ...], ...] = (
    (take_off, buying, calendar, to_next_column, cards, cautions),
    (take_off, buying, to_next_column, cards, calendar, cautions),
    (take_off, buying, calendar, cautions, to_next_column, cards),
    (take_off, buying, calendar, cautions, cards),
)
ZOOMS = (1.33, 1.2, 1.1)  # of the type, where a page has room for it
LARGE = 2  # pages: beyond them no order of sections saves one


class Layout(NamedTuple):
    """An order of the sections, the columns, and how much larger all is drawn."""

    order: tuple[Section, ...]
    columns: int = 2
    zoom: float = 1.0


def maker_sheet_bytes(priced: Priced, sure: Outlook | None = None) -> tuple[bytes, tuple[Warned, ...]]:
    """The sheet, and warnings about characters its font lacks; the same price gives the same bytes.

    `sure` is how sure the price is: a page of its own at the end, the back of a sheet of one page.
    """
    text = MakerText(priced)
    house = priced.shop.shop
    plain = sheet(house.paper, house.accent)
    title = " ".join(text.ink("piece.title", priced.job.piece.title).split())
    behind = 0 if sure is None else 1

    def built(layout: Layout, pages: int = 1) -> tuple[int, bytes]:
        on = Paper(plain.size, plain.accent, title, layout.zoom, layout.columns)
        story = [block for section in layout.order for block in section(priced, text, on)]
        if sure is not None:
            story += [NextPageTemplate(WHOLE), PageBreak(), drawing(risk_picture(priced, sure), on.width)]
        head = list(_head(priced, text))
        count, data = in_columns(head, story, on, pages + behind, f"Maker's sheet: {title}", priced.day)
        return count - behind, data

    pages, data = built(Layout(FLOW))
    if pages <= LARGE:
        for layout in _layouts(pages == 1, bool(priced.bench or priced.pours)):
            count, better = built(layout)
            if count == 1:
                return better, text.ink.warnings
    return data if pages == 1 else built(Layout(FLOW), pages)[1], text.ink.warnings


def _layouts(roomy: bool, carded: bool) -> Iterator[Layout]:
    """What to try for one page, the best first: large type where there is room, one column without cards."""
    if roomy and not carded:
        yield from (Layout(FLOW, 1, zoom) for zoom in (*ZOOMS, 1.0))
    if roomy:
        yield from (Layout(order, 2, zoom) for zoom in ZOOMS for order in (ORDERS[0], ORDERS[2]))
    yield from (Layout(order) for order in ORDERS)


def _head(priced: Priced, text: MakerText) -> Iterator[Flowable]:
    """The piece, for whom, when it is due, what it weighs and how it is lifted."""
    job, ink = priced.job, text.ink
    names = (priced.number, ink("piece.code", job.piece.code))
    code = "".join(f"{name} " for name in names if name)
    pieces = f", {job.piece.quantity} pieces" if job.piece.quantity > 1 else ""
    yield words("", f"{code}{ink('piece.title', job.piece.title)}{pieces}", 12)
    client = ink("client.name", job.client.name)
    facts = [client, f"order {text.long_day(priced.day)}", *_due(priced, text)]
    yield words(" · ".join(fact for fact in facts if fact))
    mass = text.measure(priced.quantities["mass_kg"], "mass")
    lifting = (ink("caution", said) for name, said in priced.cautions if name == "lifting")
    yield words(" ".join(lifting), f"Mass {mass}{' each' if job.piece.quantity > 1 else ''}.")
    yield Spacer(1, 3)


def _due(priced: Priced, text: MakerText) -> Iterator[str]:
    """When it is due and when it can be ready; how they differ where a day was promised."""
    ready = priced.calendar[-1].last_day(priced.day)
    due = priced.job.quote.ready_by
    if due is None:
        yield f"ready {text.long_day(ready)}"
        return
    spare = (due - ready) // timedelta(days=1)
    said = f"{spare} d to spare" if spare >= 0 else f"{-spare} d TOO LATE"
    yield f"due {text.long_day(due)}, ready {text.long_day(ready)}: {said}"
