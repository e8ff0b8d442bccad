"""Commands that price: arguments, one call into `runs`, print, exit status."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Job, Json, Overwrite, Settings, ShopFolder, Strict, Xml, app, status, tell
from quoting.cli.progress import progress
from quoting.cli.terminal import wrapped
from quoting.errors import one_line


@app.command()
def start(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder; with --sheet a new file.")],
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Write only a job, as a spreadsheet to fill in (.xlsx).")
    ] = False,
) -> None:
    """Make a shop folder with a first job.

    Every field of shop.toml and of the job is explained by a comment with its unit and default.
    """
    from quoting import runs

    if sheet:
        from quoting.runs.convert import starter_sheet

        starter_sheet(folder, tell)
        typer.echo(
            f"Made {folder}. Fill it in, keep it in the jobs folder of your shop; then: quoting price {folder}"
        )
        return
    made = runs.start(folder)
    typer.echo(f"Made {folder} with {', '.join(made)}.")
    typer.echo(
        f"Six values in {folder / 'shop.toml'} are marked LOOK; then: quoting price {folder / made[-1]}"
    )


@app.command()
def convert(
    job: Job,
    target: Annotated[Path, typer.Argument(metavar="FILE", help="A new file: .xlsx to fill in, or .toml.")],
) -> None:
    """Write a job as a spreadsheet to fill in, or a spreadsheet as a job file.

    Nothing a job says is lost on the way; comments of your own in a job file are.
    """
    from quoting.runs.convert import convert as recipe

    recipe(job, target, tell)
    typer.echo(f"wrote {target}")


@app.command()
def check(job: Job, shop: ShopFolder = None, setting: Settings = None) -> None:
    """List everything that is wrong in a job.

    Reads the job, the shop file and the price book, and writes nothing.
    """
    from quoting import runs

    progress("reading")
    result = runs.price(job, shop, setting or ())
    progress("")
    words = f"{len(result.lines)} lines, {len(result.buying)} things to buy, {len(result.warnings)} warnings"
    typer.echo(wrapped(f"{job.name}: {words}; nothing wrong.", ""))
    for warning in result.warnings:
        typer.echo(wrapped(one_line(f"warning: {warning.field}: {warning.words}"), ""))


@app.command()
def price(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    as_json: Json = False,
    strict: Strict = False,
    short: Annotated[bool, typer.Option("--short", help="Leave out how each quantity was reached.")] = False,
) -> int:
    """Show cost and price of a piece, line by line.

    By trade, then lines; the way from cost to price; what is not sure; warnings and cautions.
    """
    from quoting import runs
    from quoting.cli import as_data, breakdown

    progress("pricing")
    result = runs.price(job, shop, setting or ())
    progress("")
    typer.echo(as_data.price_json(result) if as_json else breakdown.text(result, short))
    return status(result.policies_broken, strict)


@app.command()
def quote(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--out", metavar="FOLDER", help="Where to write [default: beside the job]."),
    ] = None,
    xml: Xml = False,
    overwrite: Overwrite = False,
    strict: Strict = False,
) -> int:
    """Write the client's PDF, your workbook and your sheet for the bench.

    The PDF shows no cost, margin or hours. The workbook's formulas are live down to marked cells.
    """
    from quoting import runs
    from quoting.cli import breakdown

    result, written = runs.quote(job, shop, setting or (), out, overwrite, xml, progress)
    progress("")
    for path in written:
        typer.echo(f"wrote {path}")
    typer.echo(breakdown.summary(result))
    return status(result.policies_broken, strict)


@app.command()
def calendar(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(
            "--out", metavar="FOLDER", help="Write there a file that calendars take in (iCalendar)."
        ),
    ] = None,
    overwrite: Overwrite = False,
) -> None:
    """Show the days of a build: waiting, bench, rounds and pours with their cures, coats, hand-over.

    Counted from the day of the quote, as day 0.
    """
    from quoting.cli.calendar_text import calendar_text
    from quoting.runs.pictures import calendar as recipe

    progress("pricing")
    found, written = recipe(job, shop, setting or (), out, overwrite)
    progress("")
    typer.echo(calendar_text(found))
    for path in written:
        typer.echo(f"wrote {path}")


@app.command()
def rates(
    folder: Annotated[Path, typer.Argument(metavar="[FOLDER]", help="The shop folder.")] = Path(),
    as_json: Json = False,
) -> None:
    """Show how each hour rate is built up.

    Of pay, of overhead and of every machine, and what may have been counted twice.
    """
    from quoting import runs
    from quoting.cli import as_data, breakdown

    found, doubles, currency = runs.rates(folder)
    typer.echo(
        as_data.rates_json(found, doubles, currency)
        if as_json
        else breakdown.rates_text(found, doubles, currency)
    )
