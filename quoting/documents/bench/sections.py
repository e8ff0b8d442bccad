"""Sections of the maker's sheet: take-off, buying list, calendar, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from quoting.cut_plans.words import planned_words
from quoting.documents.bench.page import SIZE, TICK_ROOM, WIDEST, Paper, TickBox, heading, table, words
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import REGULAR, width
from quoting.pricing.bench import step_words
from quoting.pricing.bench_record import Cut, Step
from quoting.pricing.lists import AS_ORDERED
from quoting.pricing.record import Buying, Priced, PricedLine

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

PACKS, LEAD = 104.0, 28.0  # widths of columns [pt]
WAITS = ("lead", "booked")
BETWEEN = 5.0  # a column and the next [pt]
AT_THE_BENCH = ("pour_depth", "round_clock", "vacuum", "fibre_fraction", "trial", "flatten")
"""Warnings that the bench must know; those of prices stay in the workbook."""

TOLD_ELSEWHERE = ("lifting", "resin_heat")
"""Cautions that stand at the head of the sheet, and in the mixes and depths of its cards."""


def take_off(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """Every part: how many, finished and rough size, what it is made of; those without a size together."""
    if not priced.cuts:
        return
    yield heading("Take-off: finished, from rough, material", on)
    rows = [
        [words(", ".join(filter(None, _sized(cut, priced, text))), _named(cut, priced, text))]
        for cut in priced.cuts
        if cut.finished_m
    ]
    others = [
        (": " if cut.part else " ").join(
            filter(None, (_named(cut, priced, text), _made_of(cut, priced, text)))
        )
        for cut in priced.cuts
        if not cut.finished_m
    ]
    rows += [[words("; ".join(others), "And")]] if others else []
    yield table(rows, [on.column])


def _lines(cut: Cut, priced: Priced) -> list[PricedLine]:
    """The materials of a part: its own lines of the price."""
    return [line for line in priced.lines if line.id.startswith(f"{cut.path}.") and line.trade == cut.trade]


def _named(cut: Cut, priced: Priced, text: MakerText) -> str:
    """How many of a part, and its name."""
    counted = [text.at_least(line.quantity, "each") for line in _lines(cut, priced) if line.unit == "each"]
    count = str(cut.pieces) if cut.pieces else "".join(counted[:1])
    return f"{count} {text.ink('part', cut.part)}".strip()


def _sized(cut: Cut, priced: Priced, text: MakerText) -> Iterator[str]:
    yield text.sizes(cut.finished_m)
    if cut.rough_m:
        staves = f" of {cut.staves} staves" if cut.staves > 1 else ""
        staves = staves if cut.staves else " of the staves of the cut plan"
        layers = f", {cut.layers} layers" if cut.layers > 1 else ""
        yield f"from {text.rough(cut.rough_m)}{staves}{layers}"
    yield _made_of(cut, priced, text)


def _made_of(cut: Cut, priced: Priced, text: MakerText) -> str:
    """Materials with their amounts; one that is counted and named like its part is not named again."""
    said = []
    for line in _lines(cut, priced):
        item = text.ink("item", line.item)
        rack = " (rack)" if line.supplied == "rack" else ""
        if line.unit != "each":
            said.append(f"{item} {text.at_least(line.quantity, line.unit)}{rack}")
        elif line.item != cut.part:
            said.append(f"{item}{rack}")
    return ", ".join(said)


def buying(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """What to buy, to be ticked off, supplier by supplier; the one that takes longest first."""
    if not priced.buying:
        return
    yield heading("Buying list: packs (needed), lead time", on)
    suppliers: dict[str, list[Buying]] = {}
    for line in priced.buying:
        suppliers.setdefault(line.supplier, []).append(line)
    widths = [TICK_ROOM, min(on.column - TICK_ROOM - PACKS - LEAD, WIDEST), PACKS, LEAD]
    for supplier, lines in sorted(suppliers.items(), key=lambda one: -max(line.lead_days for line in one[1])):
        paid = text.money(sum((line.amount for line in lines), start=lines[0].amount * 0))
        name = text.ink("supplier", supplier) or "no supplier named"
        yield words(paid, f"{name}:", spaceBefore=1.5, spaceAfter=0.5, keepWithNext=1)
        yield table([_row(line, priced, text) for line in lines], widths)


def _row(line: Buying, priced: Priced, text: MakerText) -> list[Flowable | str]:
    named = line.item.removesuffix(f", {line.supplier}")
    item = text.ink("item", named) + (" (old price: ask again)" if line.stale else "")
    cut = planned_words(priced.plans, line.item, line.packs == AS_ORDERED, priced.shop.shop.units)
    item += f": {cut.replace(' x ', ' × ')}" if cut else ""
    order = text.at_least(line.needed, line.unit)
    if " x " in line.packs:
        packs = [text.packs(pack) for pack in line.packs.split(" + ")]
        order = f"{' + '.join(packs)} ({text.at_least(line.needed, 'each')})"
    return [TickBox(), item, order, text.figures(f"{line.lead_days:g} d") if line.lead_days else ""]


class StageRow(NamedTuple):
    """A stage, or the steps of a part, with its first day and the day by which it is over. `part` is its path, or who is waited for."""

    kind: str
    part: str
    name: str
    first: date
    last: date


def stages_of(priced: Priced) -> Iterator[list[Step]]:
    """The steps of the calendar after the order, those of a stage or of a part together."""
    for _, those in groupby(priced.calendar[1:], key=lambda one: (one.kind, one.part)):
        yield list(those)


def is_away(kind: str) -> bool:
    """True for steps in which nobody works, or only for a while: what is waited for, and what cures or dries."""
    return kind in WAITS or kind in step_words()


def stage_rows(priced: Priced, text: MakerText) -> Iterator[StageRow]:
    """One row for each stage, the steps of a part together; the last is the hand-over."""
    for steps in stages_of(priced):
        one, last = steps[0], steps[-1].last_day(priced.day)
        first = last if one.kind == "ready" else one.first_day(priced.day)
        yield StageRow(one.kind, one.part, named(steps, text), first, last)


def calendar(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """The stages under a heading, with their days."""
    day = text.day(priced.day)
    yield heading(f"Calendar, ordered {day}: from, over by", on)
    rows = []
    for row in stage_rows(priced, text):
        start, end = (f"{(day - priced.day).days}" for day in (row.first, row.last))  # after the order
        until, span = ("", start) if start == end else (text.day(row.last), f"{start}–{end}")
        rows.append([row.name, text.day(row.first), until, span])
    days = [max(width(row[i], REGULAR, SIZE) for row in rows) + BETWEEN for i in (1, 2, 3)]
    yield table(rows, [min(on.column - sum(days), WIDEST), *days])


def named(steps: Sequence[Step], text: MakerText) -> str:
    """What a row is called: a part with its rounds and cure, or the stage with its hours."""
    one, hours = steps[0], text.measure(steps[0].hours, "time")
    name = text.ink("item" if one.kind == "lead" else "part", one.what)
    if one.kind in step_words():
        rest = "dry" if one.kind == "finish coat" else "cure"
        count, what = len(steps), one.kind.rpartition(" ")[2]
        return f"{name}: {count} {what}{'s' if count > 1 else ''}, {rest} {hours}"
    return {
        "lead": f"wait for {name}",
        "booked": "work booked before",
        "bench": f"bench and desk {hours}",
        "finishing": f"finishing {hours}",
        "ready": "ready",
    }[one.kind]


def cautions(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """The usual cautions, and what was found doubtful about the bench's own work."""
    usual = (said for name, said in priced.cautions if name not in TOLD_ELSEWHERE)
    cautioned = [("–", text.ink("caution", said)) for said in usual]
    doubts = (one.words for one in priced.warnings if one.code in AT_THE_BENCH)
    found = [*(("Check:", text.ink("warning", doubt)) for doubt in doubts), *cautioned]
    if found:
        yield heading("Cautions", on)
        yield from (words(said, lead, leftIndent=8, firstLineIndent=-8) for lead, said in found)
