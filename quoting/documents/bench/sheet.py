"""The maker's sheet as a PDF, marked internal: take-off, buying list, cards, calendar, cautions.

One page where it can be: several orders of the sections are tried, with larger type where there is room. A
larger job runs on; nothing is left out or cut short.
"""

from collections.abc import Iterator
from datetime import timedelta
from io import BytesIO
from typing import NamedTuple

from reportlab.platypus import Flowable, FrameBreak, Spacer

from quoting.documents.bench.cards import cards
from quoting.documents.bench.page import Paper, back, build, words
from quoting.documents.bench.sections import buying, calendar, cautions, take_off
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.page import dated, sheet
from quoting.documents.paper.text import Ink, glyphs
from quoting.documents.pictures.price import risk_picture
from quoting.documents.pictures.writers import drawing
from quoting.pricing.outlook import Outlook
from quoting.pricing.record import Priced, Warned

SECTIONS = {
    "take-off": take_off,
    "buying": buying,
    "cards": cards,
    "calendar": calendar,
    "cautions": cautions,
}
BREAK = "break"  # to the next column
FLOW = ("take-off", "buying", "calendar", "cards", "cautions")
ORDERS = (
    ("take-off", "buying", "calendar", BREAK, "cards", "cautions"),
    ("take-off", "buying", BREAK, "cards", "calendar", "cautions"),
    ("take-off", "buying", "calendar", "cautions", BREAK, "cards"),
    ("take-off", "buying", "calendar", "cautions", "cards"),
)
ZOOMS = (1.33, 1.2, 1.1)  # of the type, where a page has room for it
LARGE = 2  # pages: beyond them no order of sections saves one


class Layout(NamedTuple):
    """An order of the sections, the columns, and how much larger all is drawn."""

    order: tuple[str, ...]
    columns: int = 2
    zoom: float = 1.0


def maker_sheet_bytes(priced: Priced, sure: Outlook | None = None) -> tuple[bytes, tuple[Warned, ...]]:
    """The sheet, and warnings about characters its font lacks; the same price gives the same bytes.

    `sure` is how sure the price is: a page of its own at the end, the back of a sheet of one page.
    """
    text = MakerText(priced, Ink(glyphs()))
    house = priced.shop.shop
    plain = sheet(house.paper, house.accent)
    title = " ".join(text.ink("piece.title", priced.job.piece.title).split())

    behind = 0 if sure is None else 1

    def built(layout: Layout, pages: int = 1) -> tuple[int, bytes]:
        out = BytesIO()
        on = Paper(plain.size, plain.accent, title, layout.zoom, layout.columns)
        story = _story(layout.order, priced, text, on)
        story += back([drawing(risk_picture(priced, sure), on.width)]) if sure is not None else []
        heading = f"Maker's sheet: {title}"
        count = build(out, list(_head(priced, text)), story, on, pages + behind, heading)
        return count - behind, out.getvalue()

    with dated(priced.day):
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


def _story(order: tuple[str, ...], priced: Priced, text: MakerText, on: Paper) -> list[Flowable]:
    found: list[Flowable] = []
    for name in order:
        found += [FrameBreak()] if name == BREAK else SECTIONS[name](priced, text, on)
    return found


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
