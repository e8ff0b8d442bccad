"""From words to an entry: every value read, every name checked against what the job knows, all problems at once."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from quoting.errors import Problem, Problems, nearest
from quoting.inputs.fields import text as clean_text
from quoting.ledger.entries import Entry
from quoting.review.intake_kinds import BY_KIND
from quoting.review.intake_values import count_of, day_of
from quoting.review.reader import Reader
from quoting.review.said import texts_of

if TYPE_CHECKING:
    from datetime import date

    from quoting.review.known import Known
    from quoting.review.said import Said

KINDS_OF_PIECE = (
    "hours", "machine", "used", "wasted", "paid", "credited", "measured", "vacuum", "temperature", "setback", "trip",
    "received", "refunded", "done", "note",
)  # fmt: skip
KINDS_OF_SHOP = ("hours", "paid", "credited", "note")


def entry_of(said: Said, known: Known, today: date, piece: int | None, quote: int | None) -> Entry:
    """The entry that a saying stands for. Raises Problems with everything that is wrong in it."""
    kinds = KINDS_OF_SHOP if known.is_shop else KINDS_OF_PIECE
    if said.kind not in kinds:
        raise Problems([Problem("kind", f'found "{said.kind[:40]}"', nearest(said.kind, kinds))])
    reader = Reader(said.placed(), known, today)
    if reader.said.what:
        reader.wrong("what", f'found "{reader.said.what[:40]}" beside another name', "write it once")
    for name, text in texts_of(reader.said).items():
        reader.read(name, partial(clean_text, text))
    if reader.problems:
        raise Problems(reader.problems)
    common = _common(reader)
    own = BY_KIND[said.kind](reader)
    if reader.problems:
        raise Problems(reader.problems)
    own_and_common: dict[str, Any] = {**common, **own}
    return Entry(kind=said.kind, piece=piece, quote=quote, digits=known.digits, **own_and_common)


def _common(reader: Reader) -> dict[str, object]:
    said = reader.said
    found: dict[str, object] = {
        "day": reader.read("on", lambda: day_of(said.on, reader.today)),
        "words": reader.read("words", lambda: clean_text(said.words)),
        "receipt": reader.read("receipt", lambda: clean_text(said.receipt)),
        "about": said.about,
        "said": said.value.strip(),
    }
    if said.round:
        found["round"] = reader.read("round", lambda: count_of(said.round, 1))
    if said.plies:
        found["plies"] = reader.read("plies", lambda: count_of(said.plies, 0))
    return found
