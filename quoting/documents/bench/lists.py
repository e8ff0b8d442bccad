"""Take-off and buying list of the maker's sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cut_plans.words import planned_words
from quoting.documents.bench.page import TICK_ROOM, WIDEST, TickBox, heading, table, words
from quoting.pricing.lists import AS_ORDERED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from quoting.documents.bench.page import Paper
    from quoting.documents.bench.text import MakerText
    from quoting.pricing.lists import Cut
    from quoting.pricing.record import Buying, Priced, PricedLine

PACKS, LEAD = 104.0, 28.0  # widths of columns [pt]


def take_off(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """Every part: how many, finished and rough size, what it is made of; those without a size together."""
    if not priced.cuts:
        return
    yield heading("Take-off: finished, from rough, material", on)
    rows = [
        words(_sized(cut, priced, text), _named(cut, priced, text)) for cut in priced.cuts if cut.finished_m
    ]
    others = [
        (": " if cut.part else " ").join(
            filter(None, (_named(cut, priced, text), _made_of(cut, priced, text)))
        )
        for cut in priced.cuts
        if not cut.finished_m
    ]
    if others:
        rows.append(words("; ".join(others), "And"))
    yield table([[row] for row in rows], [on.column])


def _lines(cut: Cut, priced: Priced) -> list[PricedLine]:
    """The materials of a part: its own lines of the price."""
    return [line for line in priced.lines if line.id.startswith(f"{cut.path}.") and line.trade == cut.trade]


def _named(cut: Cut, priced: Priced, text: MakerText) -> str:
    """How many of a part, and its name."""
    counted = [text.at_least(line.quantity, "each") for line in _lines(cut, priced) if line.unit == "each"]
    count = str(cut.pieces) if cut.pieces else "".join(counted[:1])
    return f"{count} {text.ink('part', cut.part)}".strip()


def _sized(cut: Cut, priced: Priced, text: MakerText) -> str:
    said = [text.sizes(cut.finished_m)]
    if cut.rough_m:
        staves = (
            f" of {cut.staves} staves"
            if cut.staves > 1
            else ""
            if cut.staves
            else " of the staves of the cut plan"
        )
        layers = f", {cut.layers} layers" if cut.layers > 1 else ""
        said.append(f"from {text.rough(cut.rough_m)}{staves}{layers}")
    return ", ".join(one for one in (*said, _made_of(cut, priced, text)) if one)


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
