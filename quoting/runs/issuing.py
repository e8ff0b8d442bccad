"""Issuing a quote: numbered, frozen with everything it rests on and was made with, and written for the client."""

from __future__ import annotations

import hashlib
import platform
from dataclasses import replace
from importlib.metadata import version
from typing import TYPE_CHECKING, NamedTuple

from quoting import __version__
from quoting.errors import Problem, Problems
from quoting.ledger import entries, quotes
from quoting.ledger import files as kept_files
from quoting.ledger.files import SOURCE
from quoting.ledger.states import (
    DECLINED,
    EXPIRED,
    FOR_SALE,
    ON_CONSIGNMENT,
    OPEN,
    WITHDRAWN,
)
from quoting.ledger.store import writing
from quoting.logbook.piece import piece_of
from quoting.reading.starters import shipped
from quoting.runs.freezing import face_of, kept_with, outside_of
from quoting.runs.pricing import check, documents, with_options
from quoting.runs.shops import WAITING, warn_if_synced
from quoting.written import write_all

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from quoting.declaration import Trade
    from quoting.ledger.number import Number
    from quoting.ledger.quotes import Issued
    from quoting.ledger.store import Connection
    from quoting.pricing.record import Priced
    from quoting.runs.pricing import Checked


PACKAGES = ("babel", "numpy", "openpyxl", "pillow", "pint", "reportlab")
TEMPLATES = ("shop.toml", "wording.toml", "fonts/DejaVuSans.ttf", "fonts/DejaVuSans-Bold.ttf")


REVISABLE = (OPEN, EXPIRED, DECLINED, WITHDRAWN, FOR_SALE, ON_CONSIGNMENT)
ISSUED_FOLDER = "issued"


def made_with(outside: Iterable[Trade]) -> dict[str, str]:
    """Names and versions, with the packages that bring trades from outside; a template's version is its fingerprint."""
    found = {"engine": __version__, "python": platform.python_version()}
    found |= {name: version(name) for name in PACKAGES}
    found |= dict(one.outside.rsplit(" ", 1) for one in outside)
    for name in TEMPLATES:
        data = shipped("templates").joinpath(name).read_bytes()
        found[f"templates/{name}"] = hashlib.sha256(data).hexdigest()
    return found


class IssuedNow(NamedTuple):
    """A quote that was issued: its record, its price, and the files written for it."""

    issued: Issued
    priced: Priced
    written: list[Path]


def issue(
    job: Path,
    shop: Path | None,
    revises: str,
    again: bool,
    xml: bool,
    out: Path | None,
    step: Callable[[str], None],
    tell: Callable[[str], None],
) -> IssuedNow:
    """Number a quote, freeze job, shop, prices, results and documents in the ledger, and write its files.

    The ledger comes first: a file that cannot be written after that can be written again (`show --out`). Raises
    Problems for a job that is wrong, that was issued already, or that revises what cannot be revised.
    """
    step("pricing")
    checked = check(job, shop)
    result, options = with_options(checked)
    folder = checked.brief.folder
    warn_if_synced(folder, tell)
    with writing(folder, lambda: tell(WAITING), existing=bool(revises)) as book:
        if not (again or revises):
            _refuse_twice(book, checked)
        number, former = _numbered(book, result, revises)
        result = replace(result, number=str(number), replaces=former)
        result, files = documents(result, checked, f"{number} {job.stem}", xml, step)
        results = {name: replace(one, number=str(number)) for name, one in options.items()}
        step("writing the ledger")
        kept = kept_with(checked, job, result, results, files)
        issued = quotes.add(
            book, number, face_of(result), made_with(outside_of(checked.brief, result.job)), kept
        )
        state = FOR_SALE if result.job.piece.basis == "for sale" and not result.job.client.name else OPEN
        entries.add(
            book,
            entries.Entry(
                kind="state",
                day=result.day,
                piece=issued.piece_id,
                quote=issued.id,
                said=state,
                digits=result.digits,
            ),
        )
    target = out if out is not None else folder / ISSUED_FOLDER
    return IssuedNow(issued, result, write_issued(target, str(number), files))


def write_issued(folder: Path, number: str, files: dict[str, bytes]) -> list[Path]:
    """Write papers of an issued quote or of its changes. Raises Problems that say what is safe in the ledger."""
    try:
        return write_all(folder, files, f"issued {number}", overwrite=False)
    except (Problems, OSError) as error:
        found = f"{number} is issued and safe in the ledger, but its files were not written: {error}"
        wanted = f"write them again: quoting show {number} --out FOLDER"
        raise Problems([Problem("", " ".join(found.split()), wanted)], done=True) from None


def _numbered(book: Connection, result: Priced, revises: str) -> tuple[Number, str]:
    """The number of a new piece, or of a revision and what it takes the place of."""
    if not revises:
        return quotes.next_number(book, result.day.year), ""
    former = quotes.asked(book, revises)
    piece = piece_of(book, former)
    if piece.standing.deal not in REVISABLE:
        found = f'{former.number} is "{piece.standing.words}"'
        wanted = f"write a change order: quoting change {former.number} --job JOB; or issue a new quote"
        raise Problems([Problem("--revises", found, wanted)])
    newest = piece.quotes[-1]
    if newest.face.day > result.day:
        found = f"found the day {result.day}, before that of {newest.number} ({newest.face.day})"
        raise Problems([Problem("quote.date", found, "write a later day, or leave it out")])
    return quotes.next_revision(book, former.number), str(newest.number)


def _refuse_twice(book: Connection, checked: Checked) -> None:
    """A job that was issued already, word for word, is more often a slip than a second piece."""
    same = kept_files.owners(book, "quote_file", SOURCE, checked.brief.sources[0].text.encode())
    for one in quotes.every(book):
        if one.id in same:
            found = f"found this very job issued as {one.number} on {one.face.day}"
            wanted = f"write --revises {one.number}, or --again for one more piece of it"
            raise Problems([Problem("", found, wanted)])
