"""The brief that a piece of the ledger is built by: the files that its quote froze, and the last change of the job."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from quoting.errors import Problems
from quoting.ledger import files
from quoting.runs.as_quoted import as_quoted
from quoting.runs.freezing import put_job
from quoting.runs.pricing import read_brief

if TYPE_CHECKING:
    from quoting.job.brief import Brief
    from quoting.ledger.store import Connection
    from quoting.logbook.piece import Piece


def brief_of(book: Connection, piece: Piece, folder: Path) -> Brief:
    """The brief of the plan in force, with the option that was chosen. Raises Problems where it cannot be read any more."""
    kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
    job = kept
    if piece.changes:
        job = files.kept(book, "change_file", piece.changes[-1].entry.id, files.SOURCE)
    entry = piece.standing.entry
    with tempfile.TemporaryDirectory() as made:
        then = as_quoted(Path(made), kept, folder)
        brief, problems = read_brief(put_job(job, then), then, (), entry.item if entry is not None else "")
    if brief is None or problems:
        raise Problems(problems)
    return brief
