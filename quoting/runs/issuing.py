"""Issuing a quote: numbered, frozen with everything it rests on and was made with, and written for the client."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import refuse, refused
from quoting.job.files import shop_folder
from quoting.ledger import entries, quotes, requests
from quoting.ledger import frozen as kept_files
from quoting.ledger.frozen import SOURCE
from quoting.ledger.quotes import Face, Issued, Number
from quoting.ledger.requests import Request
from quoting.ledger.states import AWAITING, FOR_SALE, LAPSED, ON_CONSIGNMENT, REFUSED, WITHDRAWN
from quoting.ledger.store import Connection, is_there, reading
from quoting.logbook.piece import piece_of, price_of
from quoting.pricing.record import Priced
from quoting.runs.keeping import changed_since, fingerprints, kept_with, made_with, outside_of
from quoting.runs.pricing import Checked, Tell, check, documents, with_options
from quoting.runs.shops import ledger_to_write, write_issued

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


class Asked(NamedTuple):
    """How a job is to be issued: in the place of the quote that it `revises` ("" for a new piece), or `again` where it was issued word for
    word. `confirmed` are fingerprints of what somebody saw and agreed to, None where nobody was shown anything. `token` is a name
    that whoever asks gives to this one issue: asked once more under it, nothing more is numbered.
    """

    revises: str = ""
    again: bool = False
    xml: bool = False
    confirmed: Mapping[str, str] | None = None
    token: str = ""


class Preview(NamedTuple):
    """What would be frozen: the price under the number that is next, its papers by file name, and fingerprints of all that it rests on."""

    priced: Priced
    files: dict[str, bytes]
    fingerprints: dict[str, str]


class IssuedNow(NamedTuple):
    """A quote that was issued: its record, its price, and the files written for it. `before` where its token had issued it already."""

    issued: Issued
    priced: Priced
    written: list[Path]
    before: bool = False


class _Draft(NamedTuple):
    """A job read and priced, and its options, before it has a number."""

    job: Path
    checked: Checked
    result: Priced
    options: dict[str, Priced]
    fingerprints: dict[str, str]


def preview(job: Path, shop: Path | None, today: date, asked: Asked, step: Tell) -> Preview:
    """What `issue` would freeze, to be agreed to. Nothing is written. Raises Problems where it would."""
    draft = _draft(job, shop, today, step)
    folder = draft.checked.brief.folder
    if asked.revises or is_there(folder):
        with reading(folder) as book:
            number, former = _numbered(book, draft, asked)
    else:
        number, former = Number(draft.result.day.year, 1), ""
    result, files = _drawn(draft, number, former, asked, step)
    return Preview(result, files, draft.fingerprints)


def issue(
    job: Path, shop: Path | None, today: date, asked: Asked, out: Path | None, step: Tell, tell: Tell
) -> IssuedNow:
    """Number a quote, freeze job, shop, prices, results and documents in the ledger, and write its files.

    The ledger comes first: a file that cannot be written after that can be written again (`show --out`). Raises
    Problems for a job that is wrong, that was issued already, that revises what cannot be revised, or that is another by now than the
    one that was agreed to.
    """
    told = [job.name, asked.revises, asked.again, asked.xml, dict(asked.confirmed or {})]
    wanted = requests.request("token", asked.token, told)
    if asked.token and is_there(folder := shop_folder(job, shop)):
        with reading(folder) as book:
            before = _before(book, wanted)
        if before is not None:
            return _written(before, folder, out)
    draft = _draft(job, shop, today, step)
    if asked.confirmed is not None:
        refuse(changed_since(draft.fingerprints, asked.confirmed))
    folder = draft.checked.brief.folder
    with ledger_to_write(folder, tell, existing=bool(asked.revises)) as book:
        found = _before(book, wanted)  # of somebody who asked at the same time
        if found is None:
            found = _frozen(book, draft, asked, step)
            requests.remember(book, wanted, quote=found.issued.id)
    return _written(found, folder, out)


class _Stored(NamedTuple):
    """A quote as the ledger has it, and its papers by file name."""

    issued: Issued
    priced: Priced
    files: Mapping[str, bytes]
    before: bool = False


def _frozen(book: Connection, draft: _Draft, asked: Asked, step: Tell) -> _Stored:
    """Add a quote to the ledger with its state and everything that it rests on."""
    number, former = _numbered(book, draft, asked)
    result, files = _drawn(draft, number, former, asked, step)
    results = {name: replace(one, number=str(number)) for name, one in draft.options.items()}
    step("writing the ledger")
    kept = kept_with(draft.checked, draft.job, result, results, files)
    made = made_with(outside_of(draft.checked.brief, result.job))
    issued = quotes.add(book, number, face_of(result), made, kept)
    state = FOR_SALE if result.job.piece.basis == "for sale" and not result.job.client.name else AWAITING
    entry = entries.Entry(
        kind="state", day=result.day, piece=issued.piece_id, quote=issued.id, said=state, digits=result.digits
    )  # fmt: skip
    entries.add(book, entry)
    return _Stored(issued, result, files)


def _before(book: Connection, wanted: Request) -> _Stored | None:
    """The quote that the same request issued before, as it is stored."""
    there = requests.done(book, "token", wanted)
    if there is None:
        return None
    issued = next(one for one in quotes.every(book) if one.id == there.quote)
    papers = kept_files.kept(book, "quote_file", issued.id, kept_files.DOCUMENT)
    return _Stored(issued, price_of(book, "quote_file", issued.id), papers, before=True)


def _written(found: _Stored, folder: Path, out: Path | None) -> IssuedNow:
    """Write the papers of a quote that is in the ledger."""
    target = out if out is not None else folder / ISSUED_FOLDER
    written = write_issued(target, str(found.issued.number), dict(found.files))
    return IssuedNow(found.issued, found.priced, written, found.before)


def _draft(job: Path, shop: Path | None, today: date, step: Tell) -> _Draft:
    step("pricing")
    checked = check(job, shop, today)
    result, options = with_options(checked)
    return _Draft(job, checked, result, options, fingerprints(checked, result))


def _drawn(
    draft: _Draft, number: Number, former: str, asked: Asked, step: Tell
) -> tuple[Priced, dict[str, bytes]]:
    """The price under its number, and its papers by file name."""
    numbered = replace(draft.result, number=str(number), replaces=former)
    return documents(numbered, draft.checked, f"{number} {draft.job.stem}", asked.xml, step)


def _numbered(book: Connection, draft: _Draft, asked: Asked) -> tuple[Number, str]:
    """The number of a new piece, or of a revision and what it takes the place of."""
    result, revises = draft.result, asked.revises
    if not (asked.again or revises):
        _refuse_twice(book, draft.checked)
    if not revises:
        return quotes.next_number(book, result.day.year), ""
    former = quotes.asked(book, revises)
    piece = piece_of(book, former)
    if piece.standing.deal not in REVISABLE:
        found = f'{former.number} is "{piece.standing.words}"'
        wanted = Advice("change_or_new", number=former.number)
        option, state = argument("revises"), piece.standing.words
        raise refused(option, found, wanted, code="state", number=former.number, state=state)
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
