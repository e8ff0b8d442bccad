"""Commands to begin with: a shop folder, a job asked for or in another form, what is wrong in it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from quoting.cli.app import Answer, Job, Settings, Shop, arg, command, here, same
from quoting.cli.terminal import counted, tell, wrapped
from quoting.errors import refused

if TYPE_CHECKING:
    pass


@command()
def start(
    folder: Annotated[Path, arg("FOLDER", "A new folder; with --sheet a new file.")],
    sheet: Annotated[bool, arg("--sheet", "Write only a job, as a spreadsheet to fill in (.xlsx).")] = False,
) -> Answer:
    """Make a shop folder with a first job.

    Every field of shop.toml and of the job is explained by a comment with its unit and default.
    """
    if sheet:
        from quoting.runs.convert import starter_sheet

        starter_sheet(folder, tell)
        told = "Fill it in, and keep it in the jobs folder of your shop."
        return Answer(wrapped(f"Made {folder}. {told}"), next=("price", folder))
    from quoting.runs.pricing import start as recipe

    made = recipe(folder)
    look = wrapped(f"Six values in {folder / 'shop.toml'} are marked LOOK: read those first.")
    said = wrapped(f"Made {folder} with {', '.join(made)}.")
    return Answer(f"{said}\n{look}", next=("price", folder / made[-1]))


@command()
def convert(
    job: Job, target: Annotated[Path, arg("FILE", "A new file: .xlsx to fill in, or .toml.")]
) -> Answer:
    """Write a job as a spreadsheet to fill in, or a spreadsheet as a job file.

    Nothing a job says is lost on the way; comments of your own in a job file are.
    """
    from quoting.runs.convert import convert as recipe

    recipe(job, target, tell)
    return Answer("", [target], next=("check", target))


@command("reading")
def check(job: Job, shop: Shop = None, setting: Settings = None) -> Answer:
    """List everything that is wrong in a job.

    Reads the job, the shop file and the price book, and writes nothing.
    """
    from quoting.runs.pricing import price as recipe
    from quoting.trades.registry import unusable

    found = recipe(job, shop, setting or ())
    things, warnings = counted(len(found.buying), "thing"), counted(len(found.warnings), "warning")
    rows = [
        wrapped(
            f"{job.name}: {counted(len(found.lines), 'line')}, {things} to buy, {warnings}; nothing wrong."
        )
    ]
    rows += [wrapped(f"warning: {one.field}: {one.words}") for one in found.warnings]
    rows += [wrapped(f"not used: {name}: {one.found}; {one.write}.") for name, one in unusable().items()]
    return Answer("\n".join(rows), next=("price", job, *same(shop, setting)))


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
    house, jobs = _places(folder, shop)
    path = interview(Terminal(), house, jobs, date.today())
    return Answer(f"wrote {path}", next=("price", path, *same(shop)))


def _places(folder: Path | None, shop: Path | None) -> tuple[Path, Path]:
    """The shop folder, and where the job goes: a folder that is the shop itself holds it in its jobs."""
    from quoting.job.load import SHOP_FILE

    near = () if folder is None else (folder, folder.resolve().parent)
    house = here(shop or next((one for one in near if (one / SHOP_FILE).is_file()), None))
    return house, house / "jobs" if folder is None or folder.resolve() == house.resolve() else folder
