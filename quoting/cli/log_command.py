"""The command that logs what happened."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Folder, Json, app, tell
from quoting.errors import Problem, Problems


def _text(flag: str, words: str, metavar: str = "TEXT") -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(flag, metavar=metavar, help=words)
    return option


@app.command()
def log(
    number: Annotated[
        str, typer.Argument(metavar="NUMBER", help='The piece, such as 2027-014; or "shop".')
    ] = "",
    kind: Annotated[
        str,
        typer.Argument(
            metavar="KIND",
            help="hours, machine, used, wasted, paid, credited, measured, vacuum, temperature, setback, trip, received,"
            " refunded, done, note; or void, to take an entry back.",
        ),
    ] = "",
    value: Annotated[str, typer.Argument(metavar="VALUE", help="How much, or what happened.")] = "",
    what: Annotated[
        str,
        typer.Argument(
            metavar="WHAT", help="Of what: a task or stage for hours, an item for used and paid, ..."
        ),
    ] = "",
    on: Annotated[str, _text("--on", "The day [default: today].", "DAY")] = "",
    task: Annotated[str, _text("--task", "What was done, such as sanding.")] = "",
    part: Annotated[str, _text("--part", "Which part, such as seat.")] = "",
    stage: Annotated[str, _text("--stage", "Or only the stage: bench, finishing, office.")] = "",
    line: Annotated[str, _text("--line", "Or the line's id, as --json of price names it.", "ID")] = "",
    of: Annotated[
        str, _text("--of", "Which material; for machine hours nobody planned, which machine.", "ITEM")
    ] = "",
    for_: Annotated[str, _text("--for", "What money was for: an item, or a payment's name.", "WHAT")] = "",
    quantity: Annotated[str, _text("--quantity", "How much was bought for the money.")] = "",
    who: Annotated[str, _text("--who", "Who worked [default: whom the plan names].")] = "",
    round: Annotated[str, _text("--round", "The bagging round.", "NUMBER")] = "",
    plies: Annotated[str, _text("--plies", "Plies laid so far, under a measured thickness.", "COUNT")] = "",
    hours: Annotated[str, _text("--hours", "Hours of a setback or a trip.")] = "",
    cost: Annotated[str, _text("--cost", "Money that a setback cost.", "AMOUNT")] = "",
    receipt: Annotated[str, _text("--receipt", "Number of the receipt.")] = "",
    words: Annotated[str, _text("--words", "A remark.")] = "",
    about: Annotated[bool, typer.Option("--about", help="A total for past days, roughly.")] = False,
    unplanned: Annotated[bool, typer.Option("--unplanned", help="The plan has no such thing.")] = False,
    instead_of: Annotated[
        str, _text("--instead-of", "Take that entry back in the same breath.", "ENTRY")
    ] = "",
    csv: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--csv", metavar="FILE", help="Rows of a time sheet or of notes: all of them, or none."),
    ] = None,
    show: Annotated[bool, typer.Option("--show", help="List what was logged.")] = False,
    as_json: Json = False,
    shop: Folder = None,
) -> None:
    """Log what happened to a piece.

    quoting log 2027-014 hours "2 1/2 h" sanding; used "4.2 L" "laminating epoxy"; paid 72.50
    "white ash 5/4"; received 900; or --csv FILE, or --show. Nothing is overwritten: a wrong entry is taken back by void.
    """
    from quoting.cli.ledger_data import log_json
    from quoting.cli.log_text import logged_text, shown_text
    from quoting.logbook.saying import Saying
    from quoting.runs import log as run
    from quoting.runs.shops import shop_folder_here

    folder = shop_folder_here(shop)
    if not number and csv is None:
        raise Problems([Problem("", "found no number", "name the piece: quoting log 2027-014 ...; or shop")])
    if show:
        found = run.show(folder, number)
        typer.echo(log_json(found) if as_json else shown_text(found))
        return
    if csv is not None:
        typer.echo(logged_text(run.log_file(folder, number, csv, tell), csv.name))
        return
    said = Saying(
        kind=kind.casefold(), value=value, what=what, on=on, line=line, task=task, part=part, stage=stage, of=of or for_,
        quantity=quantity, who=who, round=round, plies=plies, hours=hours, cost=cost, receipt=receipt, words=words,
        about=about, unplanned=unplanned,
    )  # fmt: skip
    if said.kind == "void":
        typer.echo(logged_text(run.void(folder, number, said, tell)))
        return
    typer.echo(logged_text(run.log(folder, number, said, instead_of, tell)))
