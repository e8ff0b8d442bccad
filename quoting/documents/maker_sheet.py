"""The maker's sheet as a PDF, marked internal: take-off, buying list, laminate cards, cautions.

It runs on to further pages where it must; nothing is left out or cut short.
"""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from quoting.documents.fonts import glyphs
from quoting.documents.page import HAIRLINE, INK, Running, build, sheet
from quoting.documents.quote_pdf import dated
from quoting.documents.quote_tables import grid
from quoting.documents.quote_text import Ink, QuoteText
from quoting.measures import shown
from quoting.pricing.words import in_short

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus.flowables import Flowable

    from quoting.documents.page import Sheet
    from quoting.pricing.bench import LaminateCard
    from quoting.pricing.mixing import Mix
    from quoting.pricing.record import Priced

INTERNAL = "INTERNAL: not for the client"
SKIPPED = (
    "bagging",
    "labour",
    "machine",
    "overhead",
    "sundries",
    "carriage",
    "channel",
    "delivery_carried",
    "setback",
)
WRITE_IN = "mixed at ______  closed at ______  vacuum ______  after 10 min ______  temp ______  resin left ______  corners ____ ____ ____ ____  middle ____"


def maker_sheet_bytes(priced: Priced) -> bytes:
    """The sheet; the same price gives the same bytes."""
    text = QuoteText(priced, Ink(glyphs()))
    house = priced.shop.shop
    on = replace(sheet(house.paper, house.accent), air=0.4)
    about = {"title": f"Maker's sheet: {' '.join(priced.job.piece.title.split())}", "creator": "quoting"}

    def built(pages: int) -> tuple[int, bytes]:
        out = BytesIO()
        running = Running("", INTERNAL, INTERNAL, lambda number: f"page {number} of {pages}")
        return build(out, list(_story(priced, text, on)), on, running, about), out.getvalue()

    with dated(priced.day):
        pages, _ = built(0)
        return built(pages)[1]


def _story(priced: Priced, text: QuoteText, on: Sheet) -> Iterator[Flowable]:
    piece, ink = priced.job.piece, text.ink
    yield on.words(INTERNAL, 11, bold=True, textColor=on.accent)
    yield on.words(ink("piece.title", piece.title), 13, bold=True)
    facts = [ink("client.name", priced.job.client.name), text.day(priced.day)]
    facts.append("mass " + text.measure(float(f"{priced.quantities['mass_kg']:.3g}"), "mass"))
    yield on.words(" · ".join(fact for fact in facts if fact))
    lines = [line for line in priced.lines if line.trade not in SKIPPED]
    yield on.heading("Take-off")
    rows = [
        (ink("line.part", line.part), ink("line.item", line.item), f"{line.quantity:.4g} {line.unit}")
        for line in lines
    ]
    yield _table(rows, (0.35, 0.4, 0.25), on)
    yield on.heading("Buying list")
    bought = [
        ("", ink("buying.item", one.item), f"{one.needed:.4g} {one.unit}", one.packs, ink("buying.supplier", one.supplier),
         f"{one.lead_days:g} d", text.money(one.amount) + (" old price" if one.stale else ""))
        for one in priced.buying
    ]  # fmt: skip
    if bought:
        yield _table(bought, (0.03, 0.26, 0.16, 0.17, 0.18, 0.06, 0.14), on, boxes=True)
    for card in priced.bench:
        yield from _card(card, text, on)
    yield on.heading("Cautions")
    for _, words in priced.cautions:
        yield on.words("– " + ink("caution", words), leading=11)


def _card(card: LaminateCard, text: QuoteText, on: Sheet) -> Iterator[Flowable]:
    """A heading, what every round has alike, and each round with blanks to write in."""
    each = f", for each of {card.times}" if card.times > 1 else ""
    yield on.heading(f"Laminate card: {text.ink('part', card.part)}{each}")
    cloths = [
        f"{item} {text.measure(a, 'length')} x {text.measure(b, 'length')}" for item, a, b in card.cloths_m
    ]
    cure = text.measure(card.cure_h, "time")
    yield on.words(text.ink("item", f"Every round: {', '.join(cloths)}; cure {cure} before the next"))
    for one in card.rounds:
        plies = " + ".join(f"{count} {item}" for item, count in one.plies)
        used = one.clock_h / card.working_h if card.working_h else 0.0
        films = ", ".join(f"{_size(a, text)} x {_size(b, text)}" for a, b in one.films_m)
        then = f"; then flatten off {_size(one.removed_m, text)}" if one.removed_m else ""
        yield on.words(
            text.ink("round", f"Round {one.number}: lay {plies}. Mix {mixed(one.mix)}. ")
            + (f"Film {films}. " if films else "")
            + f"Closed in {shown(round(one.clock_h * 60), 'number')} min of {card.working_h * 60:.0f} ({used:.0%}). "
            + f"Height at the end {_size(one.height_m, text)}{then}.",
            leading=11.5,
            spaceBefore=4,
        )
        yield on.words(WRITE_IN, leading=16)


def mixed(mix: Mix) -> str:
    """A mix in words: batches, and one of them by volume and by mass with its parts where they are known."""
    volume, mass = f"{mix.volume_m3 * 1e6:.0f} mL", f"{mix.mass_kg * 1000:.0f} g"
    if mix.by_volume_m3:
        volume += " ({:.0f} + {:.0f} mL)".format(*(part * 1e6 for part in mix.by_volume_m3))
    if mix.by_mass_kg:
        mass += " ({:.0f} + {:.0f} g)".format(*(part * 1e3 for part in mix.by_mass_kg))
    parts = ", resin + hardener" if mix.by_volume_m3 or mix.by_mass_kg else ""
    return f"{mix.batches} x {volume}, or {mass}{parts}"


def _size(length_m: float, text: QuoteText) -> str:
    """A size to be cut or measured, in the units of the shop, with three digits that count."""
    return in_short(text.measure(length_m, "length"))


def _table(
    rows: Sequence[Sequence[str]], shares: Sequence[float], on: Sheet, boxes: bool = False
) -> Flowable:
    cells = [[on.words(cell, leading=11) for cell in row] for row in rows]
    lines = [("LINEABOVE", (0, 0), (-1, -1), 0.5, HAIRLINE), ("RIGHTPADDING", (0, 0), (-1, -1), 5)]
    tick = [("BOX", (0, i), (0, i), 0.8, INK) for i in range(len(rows))] if boxes else []
    return grid(cells, [on.width * share for share in shares], *lines, *tick)
