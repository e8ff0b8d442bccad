"""Pictures on pages, marked internal: two or three to a page, none parted."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from quoting.documents.fonts import glyphs
from quoting.documents.maker_page import Paper, build
from quoting.documents.page import dated, sheet
from quoting.documents.pictures.writers import drawing
from quoting.documents.quote_text import Ink

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from quoting.documents.pictures.marks import Figure
    from quoting.pricing.record import Priced

BETWEEN = 14.0  # pictures [pt]


def pages_bytes(figures: Sequence[Figure], priced: Priced) -> bytes:
    """The pages as a PDF; the same pictures give the same bytes."""
    house = priced.shop.shop
    look = sheet(house.paper, house.accent)
    title = Ink(glyphs())("title", f"Pictures of {priced.job.piece.title}")
    on = Paper(look.size, look.accent, title, columns=1)
    pages = 1
    with dated(priced.day):
        for _ in range(2):  # once to count the pages, once to name them
            out = BytesIO()
            story: list[Flowable] = []
            for figure in figures:
                story += [drawing(figure, on.width, on.height), Spacer(1, BETWEEN)]
            pages = build(out, [], story, on, pages, title)
    return out.getvalue()
