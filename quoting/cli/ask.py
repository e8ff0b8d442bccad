"""The command that asks for a job, and how anything is asked on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from quoting.cli.app import Answer, Shop, arg, command
from quoting.cli.start import house_of
from quoting.errors import refused


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


@command()
def ask(
    folder: Annotated[
        Path | None, arg("[FOLDER]", "Where the job goes [default: jobs in the shop folder].")
    ] = None,
    shop: Shop = None,
) -> Answer:
    """Ask for a job question by question, and show the price after every part.

    Writes a job file with comments, as a maker would write it by hand. Ctrl-C ends it; what was priced by then is in the file.
    """
    from quoting.runs.interview import interview

    if not sys.stdin.isatty():
        wanted = "write a job file, or fill in a spreadsheet: quoting start --sheet FILE"
        raise refused("", "found no terminal to ask questions on", wanted)
    house, jobs = places(folder, shop)
    path = interview(Terminal(), house, jobs, date.today())
    return Answer(f"wrote {path}; then: quoting price {path}")


def places(folder: Path | None, shop: Path | None) -> tuple[Path, Path]:
    """The shop folder, and where the job goes: a folder that is the shop itself holds it in its jobs."""
    house = house_of(shop, () if folder is None else (folder, folder.resolve().parent))
    return house, house / "jobs" if folder is None or folder.resolve() == house.resolve() else folder
