"""Issuing a quote: numbered, frozen with everything it rests on and was made with, and written for the client."""

import hashlib
import platform
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from importlib.metadata import version
from pathlib import Path
from typing import NamedTuple

from quoting import __version__
from quoting.advice import Advice, argument
from quoting.declaration import Trade
from quoting.errors import refused
from quoting.job.brief import Brief
from quoting.job.former import file_of_today
from quoting.job.job import Job
from quoting.job.starters import WORDING, shipped, starter_text, untold
from quoting.ledger import entries, quotes
from quoting.ledger import frozen as kept_files
from quoting.ledger.frozen import DOCUMENT, RESULT, SOURCE, Kept, frozen
from quoting.ledger.quotes import Face, Issued, Number
from quoting.ledger.states import AWAITING, FOR_SALE, LAPSED, ON_CONSIGNMENT, REFUSED, WITHDRAWN
from quoting.ledger.store import Connection
from quoting.logbook.piece import piece_of, result_name
from quoting.pricing.record import Priced
from quoting.pricing.stored import records
from quoting.runs.pricing import Checked, Tell, check, documents, with_options
from quoting.runs.shops import ledger_to_write, write_issued
from quoting.trades.registry import missing, sections, trades

JOBS, TALLIES = "jobs/", "tallies/"
"""How the names of kept job files and tallies begin."""

FILES = 3
"""Job file, shop file, price file: sources of a brief beyond them are tallies."""

PACKAGES = ("babel", "numpy", "openpyxl", "pillow", "pint", "reportlab")
TEMPLATES = ("shop.toml", "wording.toml", "fonts/DejaVuSans.ttf", "fonts/DejaVuSans-Bold.ttf")
"""What a quote is made with, beside the engine."""

REVISABLE = (AWAITING, LAPSED, REFUSED, WITHDRAWN, FOR_SALE, ON_CONSIGNMENT)
ISSUED_FOLDER = "issued"


def face_of(result: Priced) -> Face:
    """What an issued quote says of itself in lists."""
    return Face(
        day=result.day,
        valid_until=result.valid_until,
        title=result.job.piece.title,
        client=result.job.client.name,
        basis=result.job.piece.basis,
        currency=result.currency,
        digits=result.digits,
        total=result.chain.total,
    )


def kept_with(
    checked: Checked, job: Path, result: Priced, options: dict[str, Priced], files: dict[str, bytes]
) -> Iterator[Kept]:
    """Everything a quote freezes: job, shop and prices as they were read, its words and pictures, the starter values in
    force; what was written; what was reckoned.
    """
    brief = checked.brief
    yield from job_sources(brief, job)
    for source in brief.sources[1:FILES]:
        yield Kept(SOURCE, source.name, source.text.encode())
    own = brief.folder / WORDING
    if own.is_file():
        yield Kept(SOURCE, WORDING, own.read_bytes())
    for name, data in (("picture", checked.picture), ("logo", checked.logo)):
        if data is not None:
            yield Kept(SOURCE, name, data)
    yield Kept(SOURCE, "starter values.toml", starter_text("shop.toml", untold(brief.job)).encode())
    for name, data in files.items():
        yield Kept(DOCUMENT, name, data)
    yield from results(checked.brief, result, options)


def results(brief: Brief, result: Priced, options: dict[str, Priced]) -> Iterator[Kept]:
    """The frozen price of a piece and of each of its options."""
    for name, one in (("", result), *options.items()):
        yield Kept(RESULT, result_name(name), frozen(declaring(brief, one), records()))


def declaring(brief: Brief, result: Priced) -> Priced:
    """A price with the declarations of trades that other packages brought to it, and nothing of those that they did not."""
    named = outside_of(brief, result.job)
    foreign = {name for name, (trade, _) in sections().items() if trade.outside and trade not in named}
    kept = {name: one for name, one in result.shop.sections.items() if name not in foreign}
    return replace(result, shop=replace(result.shop, sections=kept), outside=named)


def outside_of(brief: Brief, job: Job) -> tuple[Trade, ...]:
    """Trades of other packages that a job has parts of, or that its files name."""
    text, shop = (source.raw for source in brief.sources[:2])
    standards = shop.get("standard", {}).values()
    named = {*job.parts, *text, *shop, *(name for one in standards for name in one.get("applies_to", ()))}
    return tuple(
        one
        for one in trades().values()
        if one.outside
        and missing(one.name) is None
        and named & {one.name, *(section.name for section in one.sections)}
    )


def job_sources(brief: Brief, job: Path) -> Iterator[Kept]:
    """The job file, and the tallies that it names, as they were read."""
    yield Kept(SOURCE, f"{JOBS}{job.stem}.toml", brief.sources[0].text.encode())
    for tally in brief.sources[FILES:]:
        yield Kept(SOURCE, f"{TALLIES}{tally.name}", tally.text.encode())


def put_job(kept: Mapping[str, bytes], into: Path) -> Path:
    """Write a job file as it was kept into a folder of its own in `into`, and its tallies where it names them."""
    folder = into / JOBS
    folder.mkdir(exist_ok=True)
    for name, data in kept.items():
        if name.startswith(TALLIES):
            path = (folder / name.removeprefix(TALLIES)).resolve()
            if path.is_relative_to(folder.resolve()):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
    path = folder / "job.toml"
    data = next(data for name, data in kept.items() if name.startswith(JOBS))
    path.write_bytes(file_of_today(data.decode()).encode())
    return path


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
    today: date,
    revises: str,
    again: bool,
    xml: bool,
    out: Path | None,
    step: Tell,
    tell: Tell,
) -> IssuedNow:
    """Number a quote, freeze job, shop, prices, results and documents in the ledger, and write its files.

    The ledger comes first: a file that cannot be written after that can be written again (`show --out`). Raises
    Problems for a job that is wrong, that was issued already, or that revises what cannot be revised.
    """
    step("pricing")
    checked = check(job, shop, today)
    result, options = with_options(checked)
    folder = checked.brief.folder
    with ledger_to_write(folder, tell, existing=bool(revises)) as book:
        if not (again or revises):
            _refuse_twice(book, checked)
        number, former = _numbered(book, result, revises)
        result = replace(result, number=str(number), replaces=former)
        result, files = documents(result, checked, f"{number} {job.stem}", xml, step)
        results = {name: replace(one, number=str(number)) for name, one in options.items()}
        step("writing the ledger")
        kept = kept_with(checked, job, result, results, files)
        made = made_with(outside_of(checked.brief, result.job))
        issued = quotes.add(book, number, face_of(result), made, kept)
        state = FOR_SALE if result.job.piece.basis == "for sale" and not result.job.client.name else AWAITING
        entry = entries.Entry(
            kind="state", day=result.day, piece=issued.piece_id, quote=issued.id, said=state, digits=result.digits
        )  # fmt: skip
        entries.add(book, entry)
    target = out if out is not None else folder / ISSUED_FOLDER
    return IssuedNow(issued, result, write_issued(target, str(number), files))


def _numbered(book: Connection, result: Priced, revises: str) -> tuple[Number, str]:
    """The number of a new piece, or of a revision and what it takes the place of."""
    if not revises:
        return quotes.next_number(book, result.day.year), ""
    former = quotes.asked(book, revises)
    piece = piece_of(book, former)
    if piece.standing.deal not in REVISABLE:
        found = f'{former.number} is "{piece.standing.words}"'
        wanted = Advice("change_or_new", number=former.number)
        asked, state = argument("revises"), piece.standing.words
        raise refused(asked, found, wanted, code="state", number=former.number, state=state)
    newest = piece.quotes[-1]
    if newest.face.day > result.day:
        found = f"found the day {result.day}, before that of {newest.number} ({newest.face.day})"
        later, days = "write a later day, or leave it out", {"day": result.day, "last": newest.face.day}
        raise refused("quote.date", found, later, code="day_order", number=newest.number, **days)
    return quotes.next_revision(book, former.number), str(newest.number)


def _refuse_twice(book: Connection, checked: Checked) -> None:
    """A job that was issued already, word for word, is more often a slip than a second piece."""
    same = kept_files.owners(book, "quote_file", SOURCE, checked.brief.sources[0].text.encode())
    for one in quotes.every(book):
        if one.id in same:
            found = f"found this very job issued as {one.number} on {one.face.day}"
            wanted = Advice("revises_or_again", number=one.number)
            raise refused("", found, wanted, code="twice", number=one.number, day=one.face.day)
