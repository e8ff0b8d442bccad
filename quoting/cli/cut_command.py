"""The command that plans the cuts of a job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from quoting.cli.app import Job, Json, Overwrite, Settings, ShopFolder, app
from quoting.cli.progress import progress
from quoting.errors import Exit


@app.command()
def cut(
    job: Job,
    shop: ShopFolder = None,
    setting: Settings = None,
    seconds: Annotated[
        Optional[float],  # noqa: UP045
        typer.Option(
            "--seconds", metavar="TIME", help="Search so long for a better plan [default: as prices do]."
        ),
    ] = None,
    out: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(
            "--out",
            metavar="FOLDER",
            help="Write there the drawing for the wall (PDF, SVG), and the rack afterwards (CSV), which a job can read.",
        ),
    ] = None,
    overwrite: Overwrite = False,
    as_json: Json = False,
) -> int:
    """Plan the cuts of a job, from the boards, sheets and bars that it lists.

    What to buy at the least price, which stock each part comes from, every cut in its order, what is left and what it is
    worth. Ctrl-C ends the search and keeps the best plan so far.
    """
    from quoting.cli.cut_data import cut_json
    from quoting.cli.cut_text import cut_text
    from quoting.runs.cut import Asked
    from quoting.runs.cut import cut as recipe

    progress("planning the cuts")
    found = recipe(job, shop, setting or (), Asked(seconds, out, overwrite))
    progress("")
    typer.echo(cut_json(found) if as_json else cut_text(found))
    for path in found.written:
        typer.echo(f"wrote {path}", err=as_json)
    return Exit.INTERRUPTED if found.interrupted else Exit.DONE
