"""Commands about issued quotes: issue, mark, change, show, pieces, and the sheet to write on at the bench."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Folder, Job, Json, Number, Out, ShopFolder, Strict, Xml, app, status, tell
from quoting.cli.progress import progress
from quoting.errors import one_line


@app.command()
def issue(
    job: Job,
    revises: Annotated[
        str, typer.Option("--revises", metavar="NUMBER", help="Make the next revision of an issued quote.")
    ] = "",
    again: Annotated[
        bool, typer.Option("--again", help="Issue the same job once more, as another piece.")
    ] = False,
    shop: ShopFolder = None,
    out: Out = None,
    xml: Xml = False,
    strict: Strict = False,
) -> int:
    """Number a quote and freeze it in the ledger.

    Job, shop, prices, results and documents are kept as they are; an issued quote never changes. Its files go
    to the folder "issued" of the shop.
    """
    from quoting.cli import breakdown
    from quoting.runs.issuing import issue as run

    done = run(job, shop, revises, again, xml, out, progress, tell)
    progress("")
    typer.echo(f"issued {done.issued.number}, valid until {done.issued.face.valid_until}")
    for path in done.written:
        typer.echo(f"wrote {path}")
    typer.echo(breakdown.summary(done.priced))
    return status(done.priced.policies_broken, strict)


@app.command()
def mark(
    number: Number,
    state: Annotated[str, typer.Argument(metavar="STATE", help="Such as accepted, built, delivered, sold.")],
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="When it happened [default: today].")] = "",
    words: Annotated[str, typer.Option("--words", help="Why, in your words.")] = "",
    option: Annotated[
        str, typer.Option("--option", metavar="NAME", help="The option that was accepted.")
    ] = "",
    price: Annotated[
        str, typer.Option("--price", metavar="AMOUNT", help="Of a sale: what the buyer paid in all.")
    ] = "",
    kept: Annotated[
        str,
        typer.Option("--kept", metavar="AMOUNT", help="Of what was cancelled or came back: what you keep."),
    ] = "",
    shop: Folder = None,
) -> None:
    """Mark how a piece stands.

    accepted, declined, expired, withdrawn; for sale, on consignment, sold; built, delivered; returned, cancelled,
    written off. Each is an entry with its day.
    """
    from quoting.runs.marking import mark as run
    from quoting.runs.shops import shop_folder_here

    piece = run(shop_folder_here(shop), number, state, on, words, price, kept, option, tell)
    standing = f"{piece.standing.words} (since {piece.standing.since})"
    typer.echo(one_line(f"{piece.number} {piece.quote.face.title}: {standing}"))


@app.command()
def change(
    number: Number,
    job: Annotated[Path, typer.Option("--job", metavar="JOB", help="The job file as changed.")],
    words: Annotated[str, typer.Option("--words", help="What changes, in words.")] = "",
    agreed: Annotated[str, typer.Option("--agreed", metavar="DAY", help="The day the client agreed.")] = "",
    mine: Annotated[bool, typer.Option("--mine", help="Your own change of plan, not charged.")] = False,
    on: Annotated[
        str, typer.Option("--on", metavar="DAY", help="The day of your own change [default: today].")
    ] = "",
    price: Annotated[
        str,
        typer.Option("--price", metavar="AMOUNT", help="What was agreed instead of the price by your rules."),
    ] = "",
    out: Out = None,
    shop: Folder = None,
) -> None:
    """Price a change, and record it once it is agreed.

    The difference in cost at the margin of the quote, at least the shop's least charge. Without --agreed or --mine
    nothing is recorded; with --out the paper to agree on is written.
    """
    from quoting.cli.issue_text import changed_text
    from quoting.runs.changing import Asked
    from quoting.runs.changing import change as run
    from quoting.runs.shops import shop_folder_here

    asked = Asked(job, words, agreed, mine, on, price, out)
    done = run(shop_folder_here(shop), number, asked, tell)
    typer.echo(changed_text(done, asked))
    for path in done.written:
        typer.echo(f"wrote {path}")


@app.command()
def show(
    number: Number,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--out", metavar="FOLDER", help="Write its documents there, exactly as issued."),
    ] = None,
    xml: Xml = False,
    as_json: Json = False,
    shop: Folder = None,
) -> None:
    """Show an issued quote as it was, and how it stands.

    From the frozen results: nothing is reckoned anew.
    """
    from quoting.cli import as_data
    from quoting.cli.issue_text import issued_text
    from quoting.runs.pieces import show as run
    from quoting.runs.shops import shop_folder_here

    found = run(shop_folder_here(shop), number, out, xml)
    typer.echo(as_data.price_json(found.priced) if as_json else issued_text(found))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)


@app.command()
def pieces(
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="As it stood at the end of that day.")] = "",
    everything: Annotated[bool, typer.Option("--all", help="Pieces that are not in hand, too.")] = False,
    as_json: Json = False,
    shop: Folder = None,
) -> None:
    """Show the work in hand.

    For each piece: cost so far, received so far, still to spend, and the margin to expect.
    """
    from quoting.cli.ledger_data import pieces_json
    from quoting.cli.pieces_text import pieces_text
    from quoting.runs.pieces import pieces as run
    from quoting.runs.shops import shop_folder_here

    progress("adding up")
    found = run(shop_folder_here(shop), on, everything)
    progress("")
    typer.echo(pieces_json(found) if as_json else pieces_text(found))


@app.command()
def daysheet(out: Out = None, shop: Folder = None) -> None:
    """Write a sheet to fill in at the bench, and a CSV with the same columns.

    Date, piece, stage, hours, used, spoiled, note. The filled CSV goes in with: quoting log --csv FILE
    """
    from quoting.runs.pieces import daysheet as run
    from quoting.runs.shops import shop_folder_here

    for path in run(shop_folder_here(shop), out):
        typer.echo(f"wrote {path}")
