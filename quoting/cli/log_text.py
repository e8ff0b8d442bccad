"""What was logged, on the terminal: entries, the lines they fill, what a file added."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.cli.amounts import money
from quoting.cli.pieces_text import figure_rows
from quoting.cli.terminal import bold, dim, whole_row, wrapped
from quoting.errors import one_line
from quoting.logbook.filled import follows
from quoting.measures import shown

if TYPE_CHECKING:
    from quoting.ledger.entries import Entry
    from quoting.logbook.filled import Filled
    from quoting.logbook.in_hand import InHand
    from quoting.pricing.record import Priced
    from quoting.runs.log import Logged, Shown


def shown_text(found: Shown) -> str:
    """Entries, oldest first, and the figures of the piece."""
    gone = {entry.counters: entry.id for entry in found.entries if entry.counters}
    head = (
        "The shop"
        if found.piece is None
        else one_line(f"{found.name} {found.piece.quote.face.title}: {found.piece.standing.words}")
    )
    rows = [bold(head)]
    rows += [
        _entry_row(entry, gone.get(entry.id), found)
        for entry in sorted(found.entries, key=lambda one: (one.day, one.id))
    ]
    if not found.entries:
        rows.append("  nothing was logged yet")
    if found.piece is not None and found.figures is not None:
        rows += ["", bold("Where it stands"), *figure_rows(found.figures, found.piece.plan)]
        rows += _filled_rows(found.figures, found.piece.plan)
    return "\n".join(rows)


def _entry_row(entry: Entry, taken_back: int | None, found: Shown) -> str:
    words = f"  {entry.id:>4} {entry.day.isoformat()} {entry_words(entry)}"
    if taken_back is not None:
        words += f" [taken back by {taken_back}]"
    amount = ""
    if entry.money is not None:
        currency = "" if found.piece is None else found.piece.plan.currency
        amount = (
            money(found.piece.plan, entry.money)
            if found.piece is not None
            else f"{entry.money} {currency}".strip()
        )
    line = whole_row(words, amount, " " * 7)
    return dim(line) if taken_back is not None or entry.kind == "void" else line


def entry_words(entry: Entry) -> str:
    """An entry in a few words, on one line whatever was written."""
    return one_line(_words(entry))


def _words(entry: Entry) -> str:
    if entry.kind == "void":
        return f"takes back {entry.counters}" + (f": {entry.words}" if entry.words else "")
    if entry.kind == "state":
        option = f", option {entry.item}" if entry.item else ""
        return f"is {entry.said}{option}" + (f" ({entry.words})" if entry.words else "")
    parts = [entry.kind, *_how_much(entry)]
    where = entry.line or " ".join(part for part in (entry.task, entry.item, entry.part, entry.stage) if part)
    if where and where not in entry.said:
        parts.append(f"{'on' if entry.kind in ('hours', 'machine') else 'for'} {where}")
    parts += [f"round {entry.round}"] if entry.round else []
    parts += [f"{entry.plies} plies"] if entry.plies is not None else []
    parts += [f"{entry.hours:g} h"] if entry.hours else []
    parts += [f"by {entry.who}"] if entry.who and entry.kind in ("hours", "trip", "setback") else []
    parts += ["about"] if entry.about else []
    parts += [f"receipt {entry.receipt}"] if entry.receipt else []
    parts += [f"({entry.words})"] if entry.words else []
    return " ".join(parts)


def _how_much(entry: Entry) -> list[str]:
    """The amount of an entry as it was written; hours and quantities bought in their unit."""
    if entry.kind in ("hours", "machine", "paid", "credited"):
        if entry.amount is None:
            return []
        return [shown(entry.amount, "time") if entry.unit == "h" else f"{entry.amount:,.4g} {entry.unit}"]
    return [entry.said] if entry.said and entry.kind not in ("received", "refunded", "change") else []


def _filled_rows(figures: InHand, plan: Priced) -> Iterator[str]:
    """Lines of which entries speak: planned and actual quantity, actual cost."""
    spoken = [one for one in figures.lines if one.logged and not follows(one.line)]
    if not spoken:
        return
    yield ""
    yield bold("Lines filled, planned and so far")
    for one in spoken:
        words = f"  {one.line.id}: {_quantity(one, one.line.quantity)}, so far {_so_far(one)}"
        yield whole_row(words, money(plan, one.amount))
    if figures.unrecorded:
        yield dim(wrapped(f"not recorded: {', '.join(figures.unrecorded)}", "  "))


def _so_far(one: Filled) -> str:
    """What was used and bought; only that it was paid, where nobody counted."""
    told = [_quantity(one, one.quantity)] if one.quantity or not one.paid else []
    told += [f"{_quantity(one, one.bought)} bought"] if one.bought else []
    return ", ".join(told) or "paid"


def _quantity(one: Filled, quantity: float) -> str:
    return f"{quantity:,.4g} {one.line.measure}"


def _money(entry: Entry) -> str:
    return "" if entry.money is None else f": {entry.money:,}"


def logged_text(done: Logged, file: str = "") -> str:
    """What was added, and what a file had added before."""
    rows = (
        [
            f"{done.name} logged {entry.id}: {entry.day.isoformat()} {entry_words(entry)}{_money(entry)}"
            for entry in done.added
        ]
        if not file
        else []
    )
    if file:
        count = len(done.added)
        rows.append(f"{file}: {count} {'entry' if count == 1 else 'entries'} added")
    if done.there_already:
        lines = ", ".join(str(line) for line, _ in done.there_already[:12])
        more = f" and {len(done.there_already) - 12} more" if len(done.there_already) > 12 else ""
        rows.append(wrapped(f"rows {lines}{more} are in the ledger already, and were left out", ""))
        others = {one_line(source.rpartition(":")[0]) for _, source in done.there_already} - {file}
        if others:
            rows.append(
                wrapped(
                    f"they came from {', '.join(sorted(others))}; if they are new, tell them apart by a note",
                    "",
                )
            )
    return "\n".join(rows)
