"""The commands: arguments, one call into `runs`, print, exit status."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting import __version__
from quoting.cli.progress import progress
from quoting.errors import Exit

app = typer.Typer(
    help="Price a piece of furniture from its files: take-off, cost, price, workbook and quote.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit status: 0 done, 2 something to put right in your files or the command, 3 done but a policy is"
    " broken (below the floor, beyond your furthest delivery, an old price with --strict), 70 a fault of ours, 130 interrupted.",
)

Job = Annotated[Path, typer.Argument(metavar="JOB", help="The job file, such as jobs/bench.toml.")]
ShopFolder = Annotated[
    Optional[Path],  # noqa: UP045 typer reads this at run time
    typer.Option(
        "--shop",
        metavar="FOLDER",
        help="Folder with shop.toml and prices.csv [default: the job's own, or the one above].",
    ),
]
Settings = Annotated[
    Optional[list[str]],  # noqa: UP045
    typer.Option(
        "--set", metavar="PATH=VALUE", help='Try a value without touching a file: hardwood.leg.waste="30 %".'
    ),
]
Json = Annotated[bool, typer.Option("--json", help="One JSON object on standard output.")]
Strict = Annotated[bool, typer.Option("--strict", help="An old price breaks the policy too (exit status 3).")]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"quoting {__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Price a piece of furniture from its files: take-off, cost, price, workbook and quote."""


@app.command()
def start(folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder.")]) -> None:
    """Make a shop folder with a first job.

    Every field of shop.toml and of the job is explained by a comment with its unit and default.
    """
    from quoting import runs

    made = runs.start(folder)
    typer.echo(f"Made {folder} with {', '.join(made)}.")
    typer.echo(
        f"Six values in {folder / 'shop.toml'} are marked LOOK; then: quoting price {folder / made[-1]}"
    )


@app.command()
def check(job: Job, shop: ShopFolder = None, setting: Settings = None) -> None:
    """List everything that is wrong in a job.

    Reads the job, the shop file and the price book, and writes nothing.
    """
    from quoting import runs

    result = runs.price(job, shop, setting or ())
    words = f"{len(result.lines)} lines, {len(result.buying)} things to buy, {len(result.warnings)} warnings"
    typer.echo(f"{job.name}: {words}; nothing wrong.")
    for warning in result.warnings:
        typer.echo(f"warning: {warning.field}: {warning.words}")


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
    return _status(result.policies_broken, strict)


@app.command()
def quote(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--out", metavar="FOLDER", help="Where to write [default: beside the job]."),
    ] = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over files that were changed since.")
    ] = False,
    strict: Strict = False,
) -> int:
    """Write the client's PDF, your workbook and your sheet for the bench.

    The PDF shows no cost, margin or hours. The workbook's formulas are live down to marked cells.
    """
    from quoting import runs
    from quoting.cli import breakdown

    result, written = runs.quote(job, shop, setting or (), out, overwrite, progress)
    progress("")
    for path in written:
        typer.echo(f"wrote {path}")
    typer.echo(breakdown.summary(result))
    return _status(result.policies_broken, strict)


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


def _status(broken: tuple[str, ...], strict: bool) -> int:
    """3 where a policy is broken; an old price counts only under --strict."""
    counted = [code for code in broken if strict or code != "stale_price"]
    return Exit.POLICY_BROKEN if counted else Exit.DONE
