"""The days of a build, for people and for their calendars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.runs.pricing import check, priced_alone
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from quoting.pricing.record import Priced


def calendar(
    job: Path, shop: Path | None, settings: Sequence[str], out: Path | None, overwrite: bool
) -> tuple[Priced, list[Path]]:
    """The price of a job, which holds its days; written as an iCalendar file where a folder is named."""
    priced = priced_alone(check(job, shop, settings))
    if out is None:
        return priced, []
    from quoting.documents.open_forms.calendar import calendar_bytes

    files = {f"{job.stem} days.ics": calendar_bytes(priced)}
    return priced, write_all(out, files, str(job.resolve()), overwrite)
