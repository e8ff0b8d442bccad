"""Commands about the whole ledger: the work in hand, a sheet to write on at the bench; a copy, a check, plain files and back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from quoting.cli.app import Answer, Day, Folder, Json, Out, app, arg, command, here, this_day
from quoting.cli.as_json import Data, picked, share
from quoting.cli.terminal import block, blocks, bold, counted, dim, money, row, tell, whole_row
from quoting.errors import Exit

if TYPE_CHECKING:
    from quoting.logbook.in_hand import InHand
    from quoting.logbook.lapsing import Lapse
    from quoting.logbook.piece import Piece
    from quoting.pricing.record import Priced
    from quoting.runs.shops import Pieces

ledger = typer.Typer(
    help="Care for the ledger: check it, export it, restore it.", no_args_is_help=True, rich_markup_mode=None
)
app.add_typer(ledger, name="ledger")


@command("adding up")
def pieces(
    on: Day = "",
    everything: Annotated[bool, arg("--all", "Pieces that are not in hand, too.")] = False,
    as_json: Json = False,
    shop: Folder = None,
) -> Answer:
    """Show the work in hand.

    For each piece: cost so far, received so far, still to spend, and the margin to expect.
    """
    from quoting.runs.shops import pieces as recipe

    found = recipe(here(shop), this_day(), on, everything)
    return Answer(_data(found) if as_json else _text(found))


def _data(found: Pieces) -> Data:
    """Work in hand on a day, for other programs."""
    rows = [piece_data(one.piece) | figures_data(one.figures) for one in found.rows]
    return {"day": found.day, "pieces": rows, "others": found.others, "lapsing": found.lapsing}


def piece_data(piece: Piece) -> Data:
    """What a piece is and how it stands, for other programs."""
    keys = "number title client state=standing.words since=standing.since currency"
    return picked(piece, keys, number=str(piece.number), **picked(piece.quote.face, "title client currency"))


def figures_data(figures: InHand) -> Data:
    """Figures of a piece, for other programs."""
    return picked(
        figures,
        "contract=contract.total contract_net=contract.net agreed=contract.firm received owed held"
        " cost_so_far=cost still_to_spend=to_spend not_recorded expected_cost planned_cost"
        " labour_hours=hours planned_labour_hours=planned_hours expected_margin_amount=kept expected_margin"
        " lines_not_recorded=unrecorded",
        expected_margin=share(figures.margin),
    )


def _text(found: Pieces) -> str:
    """Work in hand: a block a piece, and their sums."""
    title = "All pieces" if found.everything else "Work in hand"
    others = ", ".join(f"{count} {state}" for state, count in found.others.items())
    return blocks(
        bold(f"{title} on {found.day.isoformat()}"),
        *(block(_title(one.piece), figure_rows(one.figures, one.piece.plan)) for one in found.rows),
        "" if found.rows else "  nothing in hand",
        *_sums(found),
        block("Quotes that nobody has answered", lapse_rows(found.lapsing)),
        dim(f"not in hand: {others}") if others else "",
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
    margin = "" if figures.margin is None else f" ({figures.margin:.1%} of the net price)"
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
    for currency in dict.fromkeys(one.piece.plan.currency for one in found.rows):
        same = [one.figures for one in found.rows if one.piece.plan.currency == currency]
        if len(same) < 2:
            continue
        sums = {
            "received so far": sum(one.received for one in same),
            "cost so far": sum(one.cost for one in same),
            "still to spend": sum(one.to_spend for one in same),
            "margin to expect": sum(one.kept for one in same),
        }
        rows = (row(f"  {name}", money(currency, amount)) for name, amount in sums.items())
        yield block(f"{len(same)} pieces together", rows)


@command()
def daysheet(out: Out = None, shop: Folder = None) -> Answer:
    """Write a sheet to fill in at the bench, and a CSV with the same columns.

    Date, piece, stage, hours, used, spoiled, note. The filled CSV goes in with: quoting log --csv FILE
    """
    from quoting.runs.shops import daysheet as recipe

    return Answer("", recipe(here(shop), this_day(), out))


@command()
def backup(out: Out = None, shop: Folder = None) -> Answer:
    """Copy the ledger, safely even while another terminal writes.

    Into the folder "backups" of the shop, or any other, under the moment's name.
    """
    from quoting.runs.shops import backup as recipe

    path, rows = recipe(here(shop), datetime.now(), out)
    return Answer(f"wrote {path} ({rows['quote']} quotes, {rows['entry']} entries)")


@command(of=ledger)
def check(shop: Folder = None) -> Answer:
    """Is everything in the ledger whole: pages, references, numbers, files, results."""
    from quoting.runs.shops import check as recipe

    faults, rows = recipe(here(shop))
    sound = f"{rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files"
    told = f"{sound}: {len(faults)} faults" if faults else f"{sound}: sound"
    return Answer("\n".join([*faults, told]), status=Exit.WRONG_FILES if faults else Exit.DONE)


@command(of=ledger)
def export(
    out: Annotated[Path, arg("FOLDER", "Where to write.")],
    as_json: Annotated[bool, arg("--json", "One JSON file, not a table in CSV each.")] = False,
    shop: Folder = None,
) -> Answer:
    """Write everything in the ledger as plain files, from which it can be restored."""
    from quoting.runs.shops import export_all

    written = export_all(here(shop), out, as_json)
    return Answer(f"wrote {counted(len(written), 'file')} to {out}")


@command(of=ledger)
def restore(
    source: Annotated[Path, arg("EXPORT", "The folder or the JSON file of an export.")], shop: Folder = None
) -> Answer:
    """Make the ledger of a shop folder that has none from exported files."""
    from quoting.runs import shops as recipes

    rows = recipes.restore(here(shop), source, lambda: tell(recipes.WAITING))
    return Answer(f"restored {rows['quote']} quotes, {rows['entry']} entries, {rows['blob']} files")
