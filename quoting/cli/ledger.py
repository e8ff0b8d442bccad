"""Commands about the whole ledger: the work in hand, a sheet to write on at the bench; a copy, a check, plain files and back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from quoting.as_data.happened import pieces_data
from quoting.cli.app import (
    Answer,
    Day,
    Details,
    Folder,
    Json,
    Out,
    after,
    app,
    arg,
    command,
    here,
    same,
    this_day,
)
from quoting.cli.shape import answer, part
from quoting.cli.terminal import (
    about,
    block,
    blocks,
    bold,
    counted,
    dim,
    money,
    row,
    tell,
    whole_row,
    wrapped,
)
from quoting.errors import Exit
from quoting.ledger.states import BOUND
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.logbook.in_hand import InHand
    from quoting.logbook.lapsing import Lapse
    from quoting.logbook.piece import Piece
    from quoting.pricing.record import Priced
    from quoting.runs.shops import Pieces

LAPSING = "Quotes that nobody has answered"

ledger = typer.Typer(
    help="Care for the ledger: check it, export it, restore it.", no_args_is_help=True, rich_markup_mode=None
)
app.add_typer(ledger, name="ledger")


@command("adding up")
def pieces(
    on: Day = "",
    everything: Annotated[bool, arg("--all", "Pieces that are not in hand, too.")] = False,
    details: Details = False,
    as_json: Json = False,
    shop: Folder = None,
) -> Answer:
    """Show the work in hand.

    For each piece: cost so far, received so far, still to spend, and the margin to expect.
    """
    from quoting.runs.shops import pieces as recipe

    found = recipe(here(shop), this_day(), on, everything)
    said = (pieces_data if as_json else _text if details else _answer)(found)
    ordered = [one.piece for one in found.rows if one.piece.standing.deal in BOUND]
    building = [one for one in ordered if not one.standing.built]
    then = after((building or ordered)[0], shop) if ordered else ()
    return Answer(said, next=then, brief=bool(found.rows) and not details)


def _answer(found: Pieces) -> str:
    """A row a piece, with what is owed, the hours left by the plan, and the margin to expect; their sums."""
    figures = [
        (about(currency, float(amount)), words)
        for currency, sums in found.sums().items()
        for amount, words in (
            (sums["owed"], "still to come in"), (sums["to_spend"], "still to spend"), (sums["kept"], "margin to expect"),
        )
    ]  # fmt: skip
    title, others = _heads(found)
    rows = [_row(one.piece, one.figures) for one in found.rows]
    return answer(
        title,
        figures,
        part("Each piece", rows, "owed     hours     margin to expect") or "  nothing in hand",
        part(LAPSING, lapse_rows(found.lapsing)),
        wrapped(others) if others else "",
    )


def _row(piece: Piece, figures: InHand) -> str:
    margin = "" if figures.margin is None else per_cent(figures.margin)
    owed, kept = (about(piece.plan, float(one)) for one in (figures.owed, figures.kept))
    hours = f"{figures.hours:.0f} of {figures.planned_hours:.0f}"
    name = f"  {piece.number} {piece.quote.face.title}, {piece.standing.words}"
    return whole_row(name, f"{owed:>9}{hours:>10}{kept:>9}{margin:>8}")


def _heads(found: Pieces) -> tuple[str, str]:
    """The title, and how many pieces are not in hand."""
    title = "All pieces" if found.everything else "Work in hand"
    others = ", ".join(f"{count} {state}" for state, count in found.others.items())
    return f"{title} on {found.day.isoformat()}", f"not in hand: {others}" if others else ""


def _text(found: Pieces) -> str:
    """Work in hand: a block a piece, and their sums."""
    title, others = _heads(found)
    return blocks(
        bold(title),
        *(block(_title(one.piece), figure_rows(one.figures, one.piece.plan)) for one in found.rows),
        "" if found.rows else "  nothing in hand",
        *_sums(found),
        block(LAPSING, lapse_rows(found.lapsing)),
        dim(others) if others else "",
    )


def _title(piece: Piece) -> str:
    who = f" for {piece.quote.face.client}" if piece.quote.face.client else ""
    since = f"{piece.standing.words} since {piece.standing.since}"
    return f"{piece.number} {piece.quote.face.title}{who}: {since}"


def figure_rows(figures: InHand, plan: Priced) -> Iterator[str]:
    """Rows of a piece: what comes in, what it costs, what is left."""
    contract = figures.contract
    name = "price agreed" if contract.firm else "price asked"
    yield row(f"  {name}" + (" (tax in it)" if contract.tax else ""), money(plan, contract.total))
    yield row("  received so far", money(plan, figures.received))
    if figures.owed:
        words = "still to come in" if figures.owed > 0 else "received too much"
        yield row(f"  {words}", money(plan, abs(figures.owed)))
    if figures.held:
        yield row("  of that to be given back, or kept by agreement", money(plan, figures.held))
    hours = f"{figures.hours:.1f} of {figures.planned_hours:.1f} h planned"
    yield row(f"  cost so far, {hours}", money(plan, figures.cost))
    yield row("  still to spend, by the plan", money(plan, figures.to_spend))
    if figures.not_recorded:
        words = f"  not recorded, taken at the plan ({counted(len(figures.unrecorded), 'line')})"
        yield row(words, money(plan, figures.not_recorded))
    total = money(plan, figures.expected_cost)
    yield row(f"  cost in the end (planned {money(plan, figures.planned_cost)})", total)
    margin = "" if figures.margin is None else f" ({per_cent(figures.margin)} of the net price)"
    yield row(f"  margin to expect{margin}", money(plan, figures.kept), "1")


def lapse_rows(found: Sequence[Lapse]) -> Iterator[str]:
    """A row for every quote whose time is nearly up, or has just run out."""
    for one in found:
        who = f" for {one.client}" if one.client else ""
        when = "today" if not one.days else f"in {counted(one.days, 'day')}"
        said = f"lapses {when}" if one.days >= 0 else f"lapsed {counted(-one.days, 'day')} ago"
        amount = money(one.currency, one.total)
        yield whole_row(f"  {one.number} {one.title}{who}: {said} ({one.until.isoformat()})", amount)


def _sums(found: Pieces) -> Iterator[str]:
    """Sums by currency, where several pieces are in hand."""
    for currency, sums in found.sums().items():
        many = sum(one.piece.plan.currency == currency for one in found.rows)
        if many < 2:
            continue
        told = {
            "received so far": sums["received"],
            "cost so far": sums["cost"],
            "still to spend": sums["to_spend"],
            "margin to expect": sums["kept"],
        }
        rows = (row(f"  {name}", money(currency, amount)) for name, amount in told.items())
        yield block(f"{many} pieces together", rows)


@command()
def daysheet(out: Out = None, shop: Folder = None) -> Answer:
    """Write a sheet to fill in at the bench, and a CSV with the same columns.

    Date, piece, stage, hours, used, spoiled, note. The filled CSV goes in with: quoting log --csv FILE
    """
    from quoting.runs.shops import daysheet as recipe

    return Answer("", recipe(here(shop), this_day(), out), next=("pieces", *same(shop)))


@command()
def backup(out: Out = None, shop: Folder = None) -> Answer:
    """Copy the ledger, safely even while another terminal writes.

    Into the folder "backups" of the shop, or any other, under the moment's name.
    """
    from quoting.runs.ledger_files import backup as recipe

    path, rows = recipe(here(shop), datetime.now(), out)
    said = f"wrote {path} ({rows['quote']} quotes, {rows['entry']} entries)"
    return Answer(said, next=("ledger", "check", *same(shop)))


@command(of=ledger)
def check(shop: Folder = None) -> Answer:
    """Is everything in the ledger whole: pages, references, numbers, files, results."""
    from quoting.runs.ledger_files import check as recipe

    faults, rows = recipe(here(shop))
    sound = f"{rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files"
    told = f"{sound}: {len(faults)} faults" if faults else f"{sound}: sound"
    status, then = (Exit.WRONG_FILES, ()) if faults else (Exit.DONE, ("backup", *same(shop)))
    return Answer("\n".join([*faults, told]), status=status, next=then)


@command(of=ledger)
def export(
    out: Annotated[Path, arg("FOLDER", "Where to write.")],
    one_file: Annotated[bool, arg("--json", "One JSON file, not a table in CSV each.")] = False,
    shop: Folder = None,
) -> Answer:
    """Write everything in the ledger as plain files, from which it can be restored."""
    from quoting.runs.ledger_files import export_all

    written = export_all(here(shop), out, one_file)
    return Answer(f"wrote {counted(len(written), 'file')} to {out}")


@command(of=ledger)
def restore(
    source: Annotated[Path, arg("EXPORT", "The folder or the JSON file of an export.")], shop: Folder = None
) -> Answer:
    """Make the ledger of a shop folder that has none from exported files."""
    from quoting.runs import ledger_files
    from quoting.runs.shops import WAITING

    rows = ledger_files.restore(here(shop), source, lambda: tell(WAITING))
    said = f"restored {rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files"
    return Answer(said, next=("ledger", "check", *same(shop)))
