"""Take-off and buying list of the maker's sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.documents.maker_blocks import TICK_ROOM, TickBox, table
from quoting.documents.maker_page import heading, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from quoting.documents.maker_page import Paper
    from quoting.documents.maker_text import MakerText
    from quoting.pricing.cutting import Cut
    from quoting.pricing.record import Buying, Priced

PACKS, LEAD = 104.0, 28.0  # widths of columns [pt]


def take_off(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """Every part: how many, finished and rough size, and what it is made of."""
    if not priced.cuts:
        return
    yield heading("Take-off: finished, from rough, material", on)
    yield table([[_part(cut, priced, text)] for cut in priced.cuts], [on.column])


def _part(cut: Cut, priced: Priced, text: MakerText) -> Flowable:
    """One part; its materials are its own lines of the price."""
    lines = [line for line in priced.lines if line.id.startswith(f"{cut.path}.") and line.trade == cut.trade]
    name = text.ink("line.part", cut.part)
    counted = [text.at_least(line.quantity, line.unit) for line in lines if line.unit == "each"]
    count = str(cut.pieces) if cut.pieces else "".join(counted[:1])
    said = [text.sizes(cut.finished_m)] if cut.finished_m else []
    if cut.rough_m:
        staves = f" of {cut.staves} staves" if cut.staves > 1 else ""
        layers = f", {cut.layers} layers" if cut.layers > 1 else ""
        said.append(f"from {text.rough(cut.rough_m)}{staves}{layers}")
    for line in lines:
        item = text.ink("line.item", line.item)
        if line.unit != "each":
            said.append(f"{item} {text.at_least(line.quantity, line.unit)}")
        elif item != name:
            said.append(item)
    return words(", ".join(said), f"{count} {name}".strip())


def buying(priced: Priced, text: MakerText, on: Paper) -> Iterator[Flowable]:
    """What to buy, to be ticked off, supplier by supplier; the one that takes longest first."""
    if not priced.buying:
        return
    yield heading("Buying list: packs (needed), lead time", on)
    suppliers: dict[str, list[Buying]] = {}
    for line in priced.buying:
        suppliers.setdefault(line.supplier, []).append(line)
    widths = [TICK_ROOM, on.column - TICK_ROOM - PACKS - LEAD, PACKS, LEAD]
    for supplier, lines in sorted(suppliers.items(), key=lambda one: -max(line.lead_days for line in one[1])):
        paid = text.money(sum((line.amount for line in lines), start=lines[0].amount * 0))
        name = text.ink("buying.supplier", supplier) or "no supplier named"
        yield words(paid, f"{name}:", spaceBefore=1.5, spaceAfter=0.5, keepWithNext=1)
        yield table([_row(line, text) for line in lines], widths)


def _row(line: Buying, text: MakerText) -> list[Flowable | str]:
    named = line.item.removesuffix(f", {line.supplier}")
    item = text.ink("buying.item", named) + (" (old price: ask again)" if line.stale else "")
    order = text.at_least(line.needed, line.unit)
    if " x " in line.packs:
        packs = [text.packs(pack) for pack in line.packs.split(" + ")]
        order = f"{' + '.join(packs)} ({text.at_least(line.needed, 'each')})"
    return [TickBox(), item, order, text.figures(f"{line.lead_days:g} d") if line.lead_days else ""]
