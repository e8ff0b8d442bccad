"""The plan of a changed job, at the shop and prices of the quote that it changes."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quoting.errors import Problem, Problems
from quoting.job.wording import wording
from quoting.ledger import files
from quoting.pricing.price import priced
from quoting.reading.starters import starter_values
from quoting.runs.as_quoted import as_quoted
from quoting.runs.pricing import read_brief

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.ledger.store import Connection
    from quoting.logbook.piece import Piece
    from quoting.pricing.record import Priced


def changed_plan(book: Connection, folder: Path, piece: Piece, job: Path) -> tuple[Priced, Brief]:
    """The changed job, priced for the day of the quote at its shop and prices; with the option that was chosen. And its brief."""
    kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
    with tempfile.TemporaryDirectory() as made:
        then = as_quoted(Path(made), kept, folder)
        entry = piece.standing.entry
        option = entry.item if entry is not None else ""
        brief, problems = read_brief(job, then, ())
        if brief is None or problems:
            raise Problems(problems)
        if option and option not in [one.name for one in brief.job.option]:
            found = f'found no option "{option}", which was accepted'
            raise Problems([Problem("option", found, "keep the [[option]] in the changed job", job.name)])
        brief, problems = read_brief(job, then, (), option)
        words = wording(then, problems)
    if brief is None or problems:
        raise Problems(problems)
    day = piece.quote.face.day
    brief = replace(brief, job=replace(brief.job, quote=replace(brief.job.quote, date=day)))
    plan = priced(brief, day, words, starter_values(brief.sources[1].raw))
    return replace(plan, number=str(piece.number)), brief
