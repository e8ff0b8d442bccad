"""The command that logs what happened, and lists it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.happened import log_data
from quoting.cli.app import Answer, Folder, Json, after, arg, command, here, same, this_day
from quoting.cli.ledger import figure_rows
from quoting.cli.terminal import aside, block, blocks, counted, dim, money, tell, whole_row, wrapped
from quoting.errors import one_line, refused
from quoting.measures import shown
from quoting.measures.showing import hours_said

if TYPE_CHECKING:
    from quoting.ledger.entries import Entry
    from quoting.logbook.filled import Filled
    from quoting.logbook.in_hand import InHand
    from quoting.pricing.record import Priced
    from quoting.runs.log import Logged, Shown

MOST_ROWS = 12
DOOR = "terminal"
"""What entries that are logged here say of where they came from."""


@command()
def log(
    number: Annotated[str, arg("NUMBER", 'The piece, such as 2027-014; or "shop".')] = "",
    kind: Annotated[
        str,
        arg(
            "KIND",
            "hours, machine, used, spoiled, paid, credited, measured, vacuum, temperature, setback, trip, received,"
            " refunded, done, note; or void, to take an entry back.",
        ),
    ] = "",
    value: Annotated[str, arg("VALUE", "How much, or what happened.")] = "",
    what: Annotated[
        str, arg("WHAT", "Of what: a task or stage for hours, an item for used and paid, ...")
    ] = "",
    on: Annotated[str, arg("--on", "The day [default: today].", "DAY")] = "",
    task: Annotated[str, arg("--task", "What was done, such as sanding.", "TEXT")] = "",
    part: Annotated[str, arg("--part", "Which part, such as seat.", "TEXT")] = "",
    stage: Annotated[str, arg("--stage", "Or only the stage: bench, finishing, office.", "TEXT")] = "",
    line: Annotated[str, arg("--line", "Or the line's id, as --json of price names it.", "ID")] = "",
    of: Annotated[
        str, arg("--of", "Which material; for machine hours nobody planned, which machine.", "ITEM")
    ] = "",
    for_: Annotated[str, arg("--for", "What money was for: an item, or a payment's name.", "WHAT")] = "",
    quantity: Annotated[str, arg("--quantity", "How much was bought for the money.", "TEXT")] = "",
    who: Annotated[str, arg("--who", "Who worked [default: whom the plan names].", "TEXT")] = "",
    round: Annotated[str, arg("--round", "The bagging round.", "NUMBER")] = "",
    plies: Annotated[str, arg("--plies", "Plies laid so far, under a measured thickness.", "COUNT")] = "",
    hours: Annotated[str, arg("--hours", "Hours of a setback or a trip.", "TEXT")] = "",
    cost: Annotated[str, arg("--cost", "Money that a setback cost.", "AMOUNT")] = "",
    receipt: Annotated[str, arg("--receipt", "Number of the receipt.", "TEXT")] = "",
    words: Annotated[str, arg("--words", "A remark.", "TEXT")] = "",
    about: Annotated[bool, arg("--about", "A total for past days, roughly.")] = False,
    unplanned: Annotated[bool, arg("--unplanned", "The plan has no such thing.")] = False,
    instead_of: Annotated[str, arg("--instead-of", "Take that entry back in the same breath.", "ENTRY")] = "",
    key: Annotated[
        str,
        arg(
            "--key", "A name of your own for this entry: said once more, it is not logged once more.", "TEXT"
        ),
    ] = "",
    csv: Annotated[
        Path | None, arg("--csv", "Rows of a day sheet or of notes: all of them, or none.", "FILE")
    ] = None,
    show: Annotated[bool, arg("--show", "List what was logged.")] = False,
    as_json: Json = False,
    shop: Folder = None,
) -> Answer:
    """Log what happened to a piece.

    quoting log 2027-014 hours "2 1/2 h" sanding; used "4.2 L" "laminating epoxy"; paid 72.50
    "white ash 5/4"; received 900; or --csv FILE, or --show. Nothing is overwritten: a wrong entry is taken back by void.
    """
    from quoting.logbook.saying import Saying
    from quoting.runs import log as recipes

    folder = here(shop)
    if not number and csv is None:
        raise refused(
            "", "found no number", "name the piece: quoting log 2027-014 ...; or shop", code="missing"
        )
    if show:
        found = recipes.show(folder, number)
        then = () if found.piece is None else after(found.piece, shop)
        return Answer(log_data(found) if as_json else _shown_text(found), next=then)
    if csv is not None:
        if key:
            raise refused(
                "--key",
                "found it beside --csv",
                "leave it out: rows are known by what they say",
                code="conflict",
            )
        return Answer(
            _logged_text(recipes.log_file(folder, this_day(), number, csv, tell), csv.name),
            next=("pieces", *same(shop)),
        )
    said = Saying(
        kind=kind.casefold(), value=value, what=what, on=on, line=line, task=task, part=part, stage=stage, of=of or for_,
        quantity=quantity, who=who, round=round, plies=plies, hours=hours, cost=cost, receipt=receipt, words=words,
        about=about, unplanned=unplanned,
    )  # fmt: skip
    origin = recipes.Origin(DOOR, key)
    void = said.kind == "void"
    done = (
        recipes.void(folder, this_day(), number, said, origin, tell)
        if void
        else recipes.log(folder, this_day(), number, said, instead_of, origin, tell)
    )
    return Answer(_logged_text(done), next=("log", done.name, "--show", *same(shop)))


def _shown_text(found: Shown) -> str:
    """Entries, oldest first, and the figures of the piece."""
    gone = {entry.counters: entry.id for entry in found.entries if entry.counters}
    in_order = sorted(found.entries, key=lambda one: (one.day, one.id))
    rows = [_entry_row(entry, gone.get(entry.id), found) for entry in in_order]
    rows = rows or ["  nothing was logged yet"]
    if found.piece is None or found.figures is None:
        return block("The shop", rows)
    plan = found.piece.plan
    return blocks(
        block(f"{found.name} {found.piece.quote.face.title}: {found.piece.standing.words}", rows),
        block("Where it stands", figure_rows(found.figures, plan)),
        block("Lines filled, planned and so far", _filled_rows(found.figures, plan)),
    )


def _entry_row(entry: Entry, taken_back: int | None, found: Shown) -> str:
    words = f"  {entry.id:>4} {entry.day.isoformat()} {_entry_words(entry)}"
    if taken_back is not None:
        words += f" [taken back by {taken_back}]"
    amount = "" if entry.money is None else str(entry.money)
    if found.piece is not None and entry.money is not None:
        amount = money(found.piece.plan, entry.money)
    line = whole_row(words, amount, " " * 7)
    return dim(line) if taken_back is not None or entry.kind == "void" else line


def _entry_words(entry: Entry) -> str:
    """An entry in a few words."""
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
    from quoting.logbook.filled import follows

    spoken = [one for one in figures.lines if one.logged and not follows(one.line)]
    for one in spoken:
        words = f"  {one.line.id}: {_quantity(one, one.line.quantity)}, so far {_so_far(one)}"
        yield whole_row(words, money(plan, one.amount))
    if spoken and figures.unrecorded:
        yield aside(f"not recorded: {', '.join(figures.unrecorded)}", "  ")


def _so_far(one: Filled) -> str:
    """What was used and bought; only that it was paid, where nobody counted."""
    told = [_quantity(one, one.quantity)] if one.quantity or not one.paid else []
    told += [f"{_quantity(one, one.bought)} bought"] if one.bought else []
    return ", ".join(told) or "paid"


def _quantity(one: Filled, quantity: float) -> str:
    return hours_said(quantity) if one.line.measure == "h" else f"{quantity:,.4g} {one.line.measure}"


def _logged_text(done: Logged, file: str = "") -> str:
    """What was added, and what a file had added before."""
    rows = []
    for entry in () if file else done.added:
        cost = "" if entry.money is None else f": {entry.money:,}"
        said = f"{entry.day.isoformat()} {_entry_words(entry)}{cost}"
        rows.append(wrapped(f"{done.name} logged {entry.id}: {said}"))
    if done.before is not None:
        said = f"{done.before.day.isoformat()} {_entry_words(done.before)}"
        rows.append(wrapped(f"{done.name} has it already, as entry {done.before.id}: {said}"))
    if file:
        rows.append(f"{file}: {counted(len(done.added), 'entry', 'entries')} added")
    if done.there_already:
        lines = ", ".join(str(line) for line, _ in done.there_already[:MOST_ROWS])
        more = len(done.there_already) - MOST_ROWS
        lines += f" and {more} more" if more > 0 else ""
        rows.append(wrapped(f"rows {lines} are in the ledger already, and were left out"))
        others = {one_line(source.rpartition(":")[0]) for _, source in done.there_already} - {file}
        if others:
            known = f"they came from {', '.join(sorted(others))}"
            rows.append(wrapped(f"{known}; if they are new, tell them apart by a note"))
    return "\n".join(rows)
