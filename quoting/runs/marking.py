"""Marking how a piece stands: each step is an entry with its day."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

from quoting.errors import Problem, Problems, Reading, nearest
from quoting.ledger import entries, quotes
from quoting.ledger.states import ACCEPTED, CANCELLED, RETURNED, SOLD, refuse_step
from quoting.logbook.piece import Piece, piece_of, price_of
from quoting.logbook.saying import day_of, money_of
from quoting.pricing.record import Priced
from quoting.reading.fields import text as clean_text
from quoting.runs.shops import ledger_to_write

MONEY_OF = {SOLD: "--price", CANCELLED: "--kept", RETURNED: "--kept"}
"""States that carry an amount, and the option that gives it."""
MONEY_WORDS = {
    "--kept": "what you keep, such as --kept 500",
    "--price": "what the buyer paid in all, such as --price 3800",
}


def mark(
    folder: Path,
    name: str,
    state: str,
    on: str,
    words: str,
    price: str,
    kept: str,
    option: str,
    tell: Callable[[str], None],
) -> Piece:
    """Mark a piece; gives it as it stands then. `price` is what a buyer paid in all, `kept` what stays of an order
    that was cancelled or a piece that came back, `option` the option that was accepted. Raises Problems with everything that is wrong.
    """
    with ledger_to_write(folder, tell) as book:
        named = quotes.asked(book, name)
        piece = piece_of(book, named)
        wanted = " ".join(state.casefold().split())
        refuse_step(piece.standing, wanted)
        problems: list[Problem] = []
        day = _day(piece, on, problems)
        money = _money(piece, wanted, {"--price": price.strip(), "--kept": kept.strip()}, problems)
        _check_option(price_of(book, "quote_file", named.id), wanted, option, problems)
        try:
            said = clean_text(words)
        except Reading as wrong:
            said = ""
            problems.append(Problem("--words", wrong.found, wrong.write))
        if problems:
            raise Problems(problems)
        binding = named if wanted == ACCEPTED else piece.quote
        newest = piece.quotes[-1].number
        if wanted == ACCEPTED and named.number != newest:
            undo = f"to undo it: quoting log {newest} void, with the entry"
            tell(f"{named.number} is accepted, not its later revision {newest}; {undo}")
        entry = entries.Entry(
            kind="state", day=day, piece=named.piece_id, quote=binding.id, said=wanted, item=option,
            money=money, digits=binding.face.digits, words=said,
        )  # fmt: skip
        entries.add(book, entry)
        return piece_of(book, named)


def _day(piece: Piece, on: str, problems: list[Problem]) -> date:
    """The day of the step: not to come, and not before the last one."""
    last = max(entry.day for entry in piece.holding if entry.kind == "state")
    try:
        day = day_of(on, max(date.today(), last))
    except Reading as wrong:
        problems.append(Problem("--on", wrong.found, wrong.write))
        return last
    if day < last:
        found = f'found {day}, before it became "{piece.standing.words}" ({last})'
        problems.append(Problem("--on", found, "write a later day, or take the last state back first"))
    return day


def _money(piece: Piece, wanted: str, given: dict[str, str], problems: list[Problem]) -> Decimal | None:
    asked = MONEY_OF.get(wanted)
    for name in (name for name, text in given.items() if text and name != asked):
        problems.append(Problem(name, f'found {given[name]} for "{wanted}"', "leave it out"))
    if asked is None:
        return None
    text = given[asked]
    if asked == "--kept" and text in ("", "0"):
        return piece.quote.face.total * 0
    try:
        return money_of(text, piece.quote.face.digits)
    except Reading as wrong:
        found = wrong.found if text else "found nothing"
        problems.append(Problem(asked, found, f"write {MONEY_WORDS[asked]}"))
        return None


def _check_option(asked: Priced, wanted: str, option: str, problems: list[Problem]) -> None:
    names = [one.name for one in asked.options]
    if option and wanted != ACCEPTED:
        problems.append(Problem("--option", f'found "{option[:40]}" for "{wanted}"', "leave it out"))
    elif option and option not in names:
        advice = nearest(option, names) if names else "leave it out: this quote has no options"
        problems.append(Problem("--option", f'found "{option[:40]}"', advice))
