"""Better standards from finished pieces: shown as a patch to the shop file; pieces whose papers cannot be read are named."""

import difflib
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.advice import argument
from quoting.errors import Problems, refuse, unknown
from quoting.forecast.build import Build, build_of
from quoting.job.brief import Brief
from quoting.job.files import SHOP_FILE
from quoting.job.load import load_shop, price_file
from quoting.job.standards import patched, written_in
from quoting.ledger import entries, quotes
from quoting.ledger.entries import Entry
from quoting.ledger.states import ENDED
from quoting.ledger.store import reading, unused
from quoting.logbook.in_hand import in_hand
from quoting.logbook.piece import Piece, piece_of
from quoting.measures.showing import unit_like
from quoting.reading.sources import read_text
from quoting.review.pieces import Calibration, calibration
from quoting.review.standards import Learned, PaidPrice, learned, prices_paid
from quoting.review.statement import Statement, statement
from quoting.runs.as_quoted import brief_of, lost
from quoting.runs.pricing import Tell
from quoting.written import put

LIKE = {"species": "20 %", "ply": "0.5 mm"}
"""How standards are written that a shop file does not hold yet."""


class Finished(NamedTuple):
    """Builds of pieces that are built; of those given up before they were; every piece; the shop's own entries; and what could
    not be read. `teaching` are the builds that standards are learnt from: not those of which a trade is gone.
    """

    builds: tuple[Build, ...]
    given_up: tuple[Build, ...]
    pieces: tuple[Piece, ...]
    shop: tuple[Entry, ...]
    unread: tuple[str, ...]

    @property
    def teaching(self) -> list[Build]:
        """Builds of which every line can be reckoned anew."""
        return [build for build in self.builds if not lost(build.piece.plan)]

    @property
    def untaught(self) -> list[str]:
        """Why nothing is learnt from the others, in words."""
        return [
            f"{build.piece.number}: {gone.outside} is not installed, nothing is learnt from it"
            for build in self.builds
            for gone in lost(build.piece.plan)
        ]


def finished(folder: Path, step: Tell) -> Finished:
    """Every finished piece of a ledger with the brief that it was built by."""
    builds: list[Build] = []
    given_up: list[Build] = []
    pieces, unread = [], []
    with reading(folder) as book:
        latest = {one.piece_id: one for one in quotes.every(book)}
        for one in latest.values():
            piece = piece_of(book, one)
            pieces.append(piece)
            there = piece.standing
            if not (there.built or (there.deal in ENDED and in_hand(piece).cost)):
                continue
            step(f"reading {piece.number}")
            try:
                (builds if there.built else given_up).append(build_of(piece, brief_of(book, piece, folder)))
            except Problems as wrong:
                unread.append(f"{piece.number}: {wrong.problems[0]}")
        shop = tuple(entries.holding(entries.of_piece(book, None)))
    return Finished(tuple(builds), tuple(given_up), tuple(pieces), shop, tuple(unread))


class Proposal(NamedTuple):
    """A standard with its text in the shop file now ("" for none), the text that is proposed, and the new likely value with
    its standard error, all in one unit.
    """

    learned: Learned
    old_text: str
    new_text: str
    value_text: str
    error_text: str


class Lessons(NamedTuple):
    """What finished pieces teach. `patch` is the change to the shop file as text; `kept` the former file where it was put in."""

    pieces: int
    proposals: tuple[Proposal, ...]
    prices: tuple[PaidPrice, ...]
    calibration: Calibration
    patch: str
    unread: tuple[str, ...]
    untaught: tuple[str, ...]
    kept: Path | None
    currency: str


def learn(folder: Path, today: date, only: Sequence[str], accept: bool, step: Tell) -> Lessons:
    """Propose standards from finished pieces. With `accept` they are put into the shop file, the former kept beside it;
    `only` names those that are meant. Raises Problems for a name that is not proposed.
    """
    everything = finished(folder, step)  # before the shop: quotes know the trades that are gone
    brief, text = load_shop(folder), read_text(folder / SHOP_FILE)
    step("learning")
    found = proposals(everything, brief)
    wanted = _wanted(found, only)
    after = patched(text, {one.learned.name: one.new_text for one in wanted}) if wanted else text
    currency = brief.shop.shop.currency
    lines, proposed = text.splitlines(True), after.splitlines(True)
    changed = difflib.unified_diff(lines, proposed, SHOP_FILE, f"{SHOP_FILE}, proposed", n=1)
    statements = [(build, statement(build)) for build in everything.teaching]
    least = brief.shop.warnings.recorded_share
    paid = [build for build in everything.builds if build.piece.plan.currency == currency]
    held = calibration(told([one for one in statements if one[1].recorded_share >= least], step))
    kept = (
        _put_in(folder, today, after) if accept and after != text else None
    )  # last: whoever ends the work before it changes nothing
    return Lessons(
        pieces=len(everything.teaching),
        proposals=found,
        prices=tuple(prices_paid(paid, replace(brief, book=price_file(folder)))),
        calibration=held,
        patch="".join(changed),
        unread=everything.unread,
        untaught=tuple(everything.untaught),
        kept=kept,
        currency=currency,
    )


def told(statements: Iterable[tuple[Build, Statement]], step: Tell) -> Iterator[tuple[Build, Statement]]:
    """Pieces whose draws are made one after another, each told before."""
    for build, found in statements:
        step(f"drawing {build.piece.number}")
        yield build, found


def proposals(everything: Finished, brief: Brief) -> tuple[Proposal, ...]:
    """What builds teach of the standards of a shop, with their texts, old and new."""
    found = []
    for one in learned(everything.teaching, brief):
        old = written_in(brief.sources[1].raw, one.name)
        like = old or LIKE.get(one.name.partition(".")[0], "")
        unit = unit_like(like, one.dimension, one.new, brief.shop.shop.units)
        ends = unit.text(one.low, one.new, one.high)
        found.append(Proposal(one, old, ends, unit.text(one.new), unit.text(one.error)))
    return tuple(found)


def _wanted(found: Sequence[Proposal], only: Sequence[str]) -> list[Proposal]:
    """What is to be put in: all that is proposed, or those that are named, proposed or not."""
    names = [one.learned.name for one in found]
    refuse(unknown(argument("only"), name, names) for name in only if name not in names)
    return [one for one in found if (one.learned.name in only if only else one.learned.proposed)]


def _put_in(folder: Path, today: date, after: str) -> Path:
    """Replace the shop file, the former one kept byte by byte under the day's name; the new one has its kind of line ends. Raises
    Problems where it would not be read any more.
    """
    before = (folder / SHOP_FILE).read_bytes()
    with tempfile.TemporaryDirectory() as made:
        (Path(made) / SHOP_FILE).write_text(after, encoding="utf-8")
        load_shop(Path(made))
    kept = unused(folder / f"shop before {today.isoformat()}.toml")
    if b"\r\n" in before:
        after = after.replace("\r\n", "\n").replace("\n", "\r\n")
    mark = b"\xef\xbb\xbf" if before.startswith(b"\xef\xbb\xbf") else b""
    put({kept: before, folder / SHOP_FILE: mark + after.encode()})
    return kept
