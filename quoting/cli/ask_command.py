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
        """One of a few; yes or no by its letter."""
        import questionary

        if set(options) == {"yes", "no"}:
            # The enter that follows a letter must not answer the next question.
            asked = questionary.confirm(words, default=options[0] == "yes", qmark=" ", auto_enter=False)
            return "yes" if asked.unsafe_ask() else "no"
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

    if not sys.stdin.isatty():
        wanted = "write a job file, or fill in a spreadsheet: quoting start --sheet FILE"
        raise Problems([Problem("", "found no terminal to ask questions on", wanted)])
    house, jobs = _places(folder, shop)
    path = interview(Terminal(), house, jobs, date.today())
    typer.echo(f"wrote {path}; then: quoting price {path}")


def _places(folder: Path | None, shop: Path | None) -> tuple[Path, Path]:
    """The shop folder, and where the job goes: a folder that is the shop itself holds it in its jobs."""
    from quoting.job.load import SHOP_FILE
    from quoting.runs.shops import shop_folder_here

    near = () if folder is None else (folder, folder.resolve().parent)
    house = shop or next((one for one in near if (one / SHOP_FILE).is_file()), None)
    house = shop_folder_here(house)
    return house, house / "jobs" if folder is None or folder.resolve() == house.resolve() else folder
