"""The command that asks for a job question by question."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from quoting.cli.app import ShopFolder, app
from quoting.errors import Problem, Problems

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence


class Terminal:
    """Asks on the terminal: answers that are known are offered while one types, wrong ones are told at once."""

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str]) -> str:
        """A line of text."""
        import questionary

        def right(answer: str) -> bool | str:
            return wrong(answer) or True

        if offered:
            return str(questionary.autocomplete(words, list(offered), validate=right, qmark=" ").unsafe_ask())
        return str(questionary.text(words, validate=right, qmark=" ").unsafe_ask())

    def choice(self, words: str, options: Sequence[str]) -> str:
        """One of a few."""
        import questionary

        return str(questionary.select(words, list(options), qmark=" ").unsafe_ask())

    def say(self, words: str) -> None:
        """Tell something."""
        typer.echo(words)


@app.command()
def ask(
    folder: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Argument(metavar="[FOLDER]", help="Where the job goes [default: jobs in the shop folder]."),
    ] = None,
    shop: ShopFolder = None,
) -> None:
    """Ask for a job question by question, and show the price after every part.

    Writes a job file with comments, as a maker would write it by hand. Ctrl-C ends it; what was priced by then is in the file.
    """
    from quoting.runs.interview import interview
    from quoting.runs.shops import shop_folder_here

    if not sys.stdin.isatty():
        wanted = "write a job file, or fill in a spreadsheet: quoting start --sheet FILE"
        raise Problems([Problem("", "found no terminal to ask questions on", wanted)])
    house = shop_folder_here(shop)
    path = interview(Terminal(), house, folder if folder is not None else house / "jobs", date.today())
    typer.echo(f"wrote {path}; then: quoting price {path}")
