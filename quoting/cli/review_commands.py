"""Commands that look at what really happened: where a piece stands, where the money went, what to learn."""

from __future__ import annotations

from typing import Annotated

import typer

from quoting.cli.app import Folder, Json, Number, app
from quoting.cli.deciding_commands import Draws, Seed
from quoting.cli.progress import progress
from quoting.runs.shops import shop_folder_here


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
    from quoting.cli import review_data, standing_text
    from quoting.runs.standing import Asked
    from quoting.runs.standing import standing as recipe

    progress("drawing")
    found = recipe(shop_folder_here(shop), number, Asked(on, draws, seed))
    progress("")
    typer.echo(review_data.standing_json(found) if as_json else standing_text.standing_text(found))
