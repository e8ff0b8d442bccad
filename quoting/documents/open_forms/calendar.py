"""The days of a build as an iCalendar file (RFC 5545), which any calendar takes in."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from icalendar import Calendar, Event

from quoting.documents.bench.days import is_away, stage_rows
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink

if TYPE_CHECKING:
    from quoting.documents.bench.days import StageRow
    from quoting.pricing.record import Priced

PRODUCT = "-//quoting//build calendar//EN"


def calendar_bytes(priced: Priced) -> bytes:
    """Every stage as an event of whole days; the same price gives the same bytes.

    An event keeps its UID as long as the quote and the stage are the same, so that a newer file moves it. What only waits or cures
    leaves the day free.
    """
    text = MakerText(priced, Ink(None))
    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("method", "PUBLISH")
    title = " ".join(part for part in (priced.number, priced.job.piece.code, priced.job.piece.title) if part)
    found.add("x-wr-calname", title)
    for row in stage_rows(priced, text):
        found.add_component(_event(row, title, priced))
    return bytes(found.to_ical())


def _event(row: StageRow, title: str, priced: Priced) -> Event:
    event = Event()
    told = "\0".join((priced.number, priced.job.piece.code, priced.job.piece.title, row.kind, row.part))
    event.add("uid", f"{sha256(told.encode()).hexdigest()[:32]}@quoting")
    event.add("dtstamp", datetime.combine(priced.day, time(), UTC))
    event.add("summary", f"{title}: {row.name}")
    event.add("dtstart", row.first)
    event.add("dtend", max(row.last, row.first + timedelta(days=1)))
    event.add("transp", "TRANSPARENT" if is_away(row.kind) else "OPAQUE")
    return event
