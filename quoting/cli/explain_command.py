"""The command that explains words, units, fields and figures."""

from __future__ import annotations

from typing import Annotated, Optional

import typer

from quoting.cli.app import app
from quoting.cli.progress import progress


@app.command()
def explain(
    words: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Argument(metavar="[WORD]...", help="A trade, a word, a field such as timber.waste, or a unit."),
    ] = None,
) -> None:
    """Explain a word, a unit, a field, or how the figures of a trade are computed.

    Alone it lists what can be asked for.
    """
    from quoting.cli import explain_text
    from quoting.runs.explain import Page, topics
    from quoting.runs.explain import explain as recipe

    if not words:
        typer.echo(explain_text.topics_text(*topics()))
        return
    progress("reading")
    found = recipe(" ".join(words))
    progress("")
    typer.echo(
        explain_text.page_text(found) if isinstance(found, Page) else explain_text.meanings_text(found)
    )
