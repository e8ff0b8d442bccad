"""The maker's sheet as a PDF, marked internal: take-off, buying list, cards, calendar, cautions.

One page where it can be: of several orders of the sections the one with the fewest pages is taken. A larger
job runs on; nothing is left out or cut short.
"""

from __future__ import annotations

from datetime import timedelta
from io import BytesIO
from typing import TYPE_CHECKING

from reportlab.platypus import FrameBreak, Spacer

from quoting.documents.fonts import glyphs
from quoting.documents.maker_cards import cards
from quoting.documents.maker_days import calendar, cautions
from quoting.documents.maker_lists import buying, take_off
from quoting.documents.maker_page import Paper, build, words
from quoting.documents.maker_text import MakerText
from quoting.documents.page import sheet
from quoting.documents.quote_pdf import dated
from quoting.documents.quote_text import Ink

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from quoting.pricing.record import Priced, Warned

SECTIONS = {
    "take-off": take_off,
    "buying": buying,
    "cards": cards,
    "calendar": calendar,
    "cautions": cautions,
}
BREAK = "break"  # to the next column
ORDERS = (
    ("take-off", "buying", "calendar", BREAK, "cards", "cautions"),
    ("take-off", "buying", BREAK, "cards", "calendar", "cautions"),
    ("take-off", "buying", "calendar", "cautions", BREAK, "cards"),
    ("take-off", "buying", "calendar", "cards", "cautions"),
    ("take-off", "buying", "calendar", "cautions", "cards"),
)


def maker_sheet_bytes(priced: Priced) -> tuple[bytes, tuple[Warned, ...]]:
    """The sheet, and warnings about characters its font lacks; the same price gives the same bytes."""
    text = MakerText(priced, Ink(glyphs()))
    house = priced.shop.shop
    plain = sheet(house.paper, house.accent)
    title = " ".join(text.ink("piece.title", priced.job.piece.title).split())
    on = Paper(plain.size, plain.accent, title)

    def built(order: tuple[str, ...], pages: int) -> tuple[int, bytes]:
        out = BytesIO()
        story = _story(order, priced, text, on)
        return build(
            out, list(_head(priced, text)), story, on, pages, f"Maker's sheet: {title}"
        ), out.getvalue()

    with dated(priced.day):
        best: tuple[str, ...] = ORDERS[0]
        pages = 0
        for order in ORDERS:
            count, data = built(order, 1)
            if count == 1:
                return data, text.ink.warnings
            if not pages or count < pages:
                best, pages = order, count
        return built(best, pages)[1], text.ink.warnings


def _story(order: tuple[str, ...], priced: Priced, text: MakerText, on: Paper) -> list[Flowable]:
    found: list[Flowable] = []
    for name in order:
        found += [FrameBreak()] if name == BREAK else SECTIONS[name](priced, text, on)
    return found


def _head(priced: Priced, text: MakerText) -> Iterator[Flowable]:
    """The piece, for whom, when it is due, what it weighs and how it is lifted."""
    job, ink = priced.job, text.ink
    code = f"{ink('piece.code', job.piece.code)} " if job.piece.code else ""
    pieces = f", {job.piece.quantity} pieces" if job.piece.quantity > 1 else ""
    yield words("", f"{code}{ink('piece.title', job.piece.title)}{pieces}", 12)
    client = ink("client.name", job.client.name)
    facts = [client, f"order {text.long_day(priced.day)}", *_due(priced, text)]
    yield words(" · ".join(fact for fact in facts if fact))
    mass = text.measure(priced.quantities["mass_kg"], "mass")
    lifting = [said for name, said in priced.cautions if name == "lifting"]
    yield words(" ".join(ink("caution", said) for said in lifting), f"Mass {mass}.")
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
