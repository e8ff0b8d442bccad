"""The command itself, and the arguments that its commands share."""

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
    epilog="Exit status: 0 done, 2 something to put right in your files or the command, 3 done but one of your limits is"
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
Json = Annotated[bool, typer.Option("--json", help="Print the answer as data for other programs (JSON).")]
Number = Annotated[str, typer.Argument(metavar="NUMBER", help="The issued quote, such as 2027-014.")]
Folder = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--shop", metavar="FOLDER", help="The shop folder [default: this one, or the one above]."),
]
Out = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--out", metavar="FOLDER", help="Where to write [default: a folder in the shop]."),
]
Xml = Annotated[
    bool,
    typer.Option("--xml", help="The quote as an electronic document, too, for firms (OASIS UBL 2.1)."),
]
Overwrite = Annotated[bool, typer.Option("--overwrite", help="Write over files that were changed since.")]
Strict = Annotated[
    bool, typer.Option("--strict", help="An old price counts as a broken limit too (exit status 3).")
]


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


def status(broken: tuple[str, ...], strict: bool) -> int:
    """3 where a policy is broken; an old price counts only under --strict."""
    counted = [code for code in broken if strict or code != "stale_price"]
    return Exit.POLICY_BROKEN if counted else Exit.DONE


def tell(words: str) -> None:
    """Say something beside the answer, where it does not mix with it."""
    progress("")
    typer.echo(f"note: {words}", err=True)
