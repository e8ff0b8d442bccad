"""The command that asks for a job, and how anything is asked on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated

import typer

from quoting.cli.app import Answer, Shop, arg, command, this_day
from quoting.cli.start import house_of
from quoting.errors import refused


class Terminal:
    """Asks on the terminal: answers that are known are offered while one types, wrong ones are told at once."""

    def text(self, words: str, wrong: Callable[[str], str], offered: Sequence[str], now: str = "") -> str:
        """A line of text; what was said before stands there to be changed."""
        import questionary

        def right(answer: str) -> bool | str:
            return wrong(answer) or True

        if offered:
            asked = questionary.autocomplete(words, list(offered), now, validate=right, qmark=" ")
        else:
            asked = questionary.text(words, now, validate=right, qmark=" ")
        return str(asked.unsafe_ask())

    def choice(self, words: str, options: Sequence[str]) -> str:
        """One of a few; yes or no by its letter, where Enter is the first of them."""
        import questionary

        if {"yes", "no"} <= set(options) <= {"yes", "no", "back"}:
            letters = {one[0]: one for one in options}
            known = {**letters, **{one: one for one in letters.values()}, "": options[0]}
            shown = f"{words} ({', '.join(options)}; Enter: {options[0]})"
            advice = f"write {' or '.join(options)}"
            return known[
                self.text(shown, lambda said: "" if said.strip().casefold() in known else advice, ())
                .strip()
                .casefold()
            ]
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
        raise refused("", "found no terminal to ask questions on", wanted, code="no_terminal")
    house, jobs = places(folder, shop)
    path = interview(Terminal(), house, jobs, this_day())
    return Answer(f"wrote {path}; then: quoting price {path}")


def places(folder: Path | None, shop: Path | None) -> tuple[Path, Path]:
    """The shop folder, and where the job goes: a folder that is the shop itself holds it in its jobs."""
    house = house_of(shop, () if folder is None else (folder, folder.resolve().parent))
    return house, house / "jobs" if folder is None or folder.resolve() == house.resolve() else folder
