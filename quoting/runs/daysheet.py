"""The sheet to write on at the bench, and the CSV with the same columns."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import TYPE_CHECKING

from quoting.job.load import load_shop
from quoting.ledger.store import LEDGER_FILE
from quoting.logbook.names import known_of_piece
from quoting.logbook.time_sheet import DAY_SHEET
from quoting.runs.pieces import pieces
from quoting.written import write_all

if TYPE_CHECKING:
    from pathlib import Path


def daysheet(folder: Path, out: Path | None) -> list[Path]:
    """Write both; the pieces in hand stand on the sheet with their numbers and stages."""
    from quoting.documents.bench.day_sheet import SheetPiece, day_sheet_bytes

    brief = load_shop(folder)
    rows = pieces(folder, "", everything=False).rows if (folder / LEDGER_FILE).is_file() else ()
    listed = [
        SheetPiece(str(one.piece.number), one.piece.quote.face.title, known_of_piece(one.piece.plan).stages)
        for one in rows
    ]
    header = io.StringIO()
    csv.writer(header, lineterminator="\n").writerow(DAY_SHEET)
    files = {
        "day sheet.pdf": day_sheet_bytes(brief.shop.shop, listed, date.today()),
        "day sheet.csv": header.getvalue().encode(),
    }
    return write_all(
        out if out is not None else folder, files, f"day sheet of {folder.resolve()}", overwrite=False
    )
