"""The days of a build on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.terminal import bold, whole_row, wrapped
from quoting.documents.bench.sections import stage_rows
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink, glyphs
from quoting.errors import one_line

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


def calendar_text(priced: Priced) -> str:
    """A row for every stage: what it is, and from when to when."""
    text = MakerText(priced, Ink(glyphs()))
    rows = [bold(one_line(f"The days of {priced.job.piece.title}"))]
    rows.append(f"  order everything on day 0, {text.long_day(priced.day)}")
    for row in stage_rows(priced, text):
        start, end = (row.first - priced.day).days, (row.last - priced.day).days
        days = f"day {end}, {text.day(row.last)}"
        if start != end:
            days = f"day {start} to {end}, over by {text.day(row.last)}"
        rows.append(whole_row(one_line(f"  {row.name}"), days))
    over = "Over by a day: on that morning nothing of it is left to do or to wait for."
    week = priced.shop.shop.week
    spread = f"Work is spread evenly: {week.hours:g} h fill a week of {week.days:g} days and its days off."
    cure = "A cure or drying time is that of the data sheet at its temperature: in the cold it takes longer."
    return "\n".join([*rows, "", wrapped(over, ""), wrapped(spread, ""), wrapped(cure, "")])
