"""Commands that look at what really happened: where a piece stands, where the money went, what to learn."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Folder, Json, Number, Overwrite, Settings, app
from quoting.cli.deciding_commands import Draws, Seed
from quoting.cli.progress import progress
from quoting.errors import Problem, Problems


@app.command()
def standing(
    number: Number,
    on: Annotated[
        str, typer.Option("--on", metavar="DAY", help="As it stood at the end of that day [default: today].")
    ] = "",
    shop: Folder = None,
    draws: Draws = None,
    seed: Seed = None,
    as_json: Json = False,
) -> None:
    """Say where a piece in its build stands, and how it will end.

    Plies and rounds still needed, cost and day in the end, margin against quoted, one more round or not, what to buy now.
    """
    from quoting.cli import standing_data, standing_text
    from quoting.runs.shops import shop_folder_here
    from quoting.runs.standing import Asked
    from quoting.runs.standing import standing as recipe

    progress("drawing")
    found = recipe(shop_folder_here(shop), number, Asked(on, draws, seed))
    progress("")
    typer.echo(standing_data.standing_json(found) if as_json else standing_text.standing_text(found))


@app.command()
def review(
    piece: Annotated[
        str,
        typer.Argument(
            metavar="[NUMBER|JOB]", help="An issued quote; a job file with --actuals; or none: all pieces."
        ),
    ] = "",
    actuals: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(
            "--actuals",
            metavar="FILE",
            help="Round totals of a piece that was never logged (TOML), with its job.",
        ),
    ] = None,
    shop: Folder = None,
    setting: Settings = None,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(
            "--out", metavar="FOLDER", help="Write a paper for yourself (PDF) and a workbook there."
        ),
    ] = None,
    pictures: Annotated[
        bool, typer.Option("--pictures", help="With --out: each picture as SVG and PNG, too.")
    ] = False,
    overwrite: Overwrite = False,
    as_json: Json = False,
) -> None:
    """Say where a finished piece made or lost money.

    From the margin quoted to the margin earned, step by step; the causes, the dearest first; what stayed in hand.
    """
    from quoting.cli import review_data, review_text
    from quoting.runs.review import Papers, review_totals
    from quoting.runs.review import review as of_ledger
    from quoting.runs.shops import shop_folder_here

    if pictures and out is None:
        raise Problems([Problem("--pictures", "found no folder to write into", "add --out FOLDER")])
    papers = Papers(out, overwrite, pictures)
    progress("reviewing")
    if actuals is not None and piece:
        found = review_totals(Path(piece), actuals, shop, setting or (), papers)
    elif actuals is not None:
        raise Problems(
            [Problem("--actuals", "found no job beside it", "write quoting review JOB --actuals FILE")]
        )
    else:
        if not piece:
            _review_all(shop, out, as_json)
            return
        if piece.lower().endswith((".toml", ".xlsx")):
            raise Problems(
                [Problem("", "found a job file", f"write its totals: quoting review {piece} --actuals FILE")]
            )
        if setting:
            raise Problems([Problem("--set", "found an issued quote, which stands as it is", "name a job")])
        found = of_ledger(shop_folder_here(shop), piece, papers)
    progress("")
    typer.echo(review_data.review_json(found) if as_json else review_text.review_text(found))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)


def _review_all(shop: Folder, out: Path | None, as_json: bool) -> None:
    """Every finished piece side by side."""
    from quoting.cli import all_text, learn_data
    from quoting.runs.review import review_all
    from quoting.runs.shops import shop_folder_here

    if out is not None:
        raise Problems(
            [
                Problem(
                    "--out",
                    "found no piece to write a paper of",
                    "name one: quoting review NUMBER --out FOLDER",
                )
            ]
        )
    found = review_all(shop_folder_here(shop), progress)
    progress("")
    typer.echo(learn_data.all_json(found) if as_json else all_text.all_text(found))


@app.command()
def learn(
    only: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Option(
            "--only",
            metavar="NAME",
            help="Only this standard, by its name in the list; more than once for several.",
        ),
    ] = None,
    accept: Annotated[
        bool,
        typer.Option("--accept", help="Put the change into shop.toml; the former file is kept beside it."),
    ] = False,
    shop: Folder = None,
    as_json: Json = False,
) -> None:
    """Propose better standards from finished pieces.

    Old value, new value, how many pieces it rests on, its standard error; and the change to shop.toml.
    """
    from quoting.cli import learn_data, learn_text
    from quoting.runs.learn import learn as recipe
    from quoting.runs.shops import shop_folder_here

    found = recipe(shop_folder_here(shop), only or (), accept, progress)
    progress("")
    typer.echo(learn_data.learn_json(found) if as_json else learn_text.learn_text(found))
