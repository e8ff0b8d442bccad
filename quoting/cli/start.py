"""Commands to begin with: a shop folder, a job asked for or in another form, what is wrong in it, what words mean."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from quoting.cli.app import Answer, Job, Settings, Shop, arg, command, here
from quoting.cli.terminal import aside, block, blocks, counted, dim, progress, tell, wrapped
from quoting.errors import refused

if TYPE_CHECKING:
    from quoting.job.starters import Field
    from quoting.runs.explain import Example, Meaning, Page

MOST = 4
"""Lines of a group that are enough to see how it is computed."""

UNITS = "Units in [brackets] are those the tool reckons in: you write and read your own."


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
        told = "Fill it in, keep it in the jobs folder of your shop; then: quoting price"
        return Answer(f"Made {folder}. {told} {folder}")
    from quoting.runs.pricing import start as recipe

    made = recipe(folder)
    look = f"Six values in {folder / 'shop.toml'} are marked LOOK; then: quoting price {folder / made[-1]}"
    return Answer(f"Made {folder} with {', '.join(made)}.\n{look}")


@command()
def convert(
    job: Job, target: Annotated[Path, arg("FILE", "A new file: .xlsx to fill in, or .toml.")]
) -> Answer:
    """Write a job as a spreadsheet to fill in, or a spreadsheet as a job file.

    Nothing a job says is lost on the way; comments of your own in a job file are.
    """
    from quoting.runs.convert import convert as recipe

    recipe(job, target, tell)
    return Answer("", [target])


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
    return Answer("\n".join(rows))


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
    return Answer(f"wrote {path}; then: quoting price {path}")


def _places(folder: Path | None, shop: Path | None) -> tuple[Path, Path]:
    """The shop folder, and where the job goes: a folder that is the shop itself holds it in its jobs."""
    from quoting.job.load import SHOP_FILE

    near = () if folder is None else (folder, folder.resolve().parent)
    house = here(shop or next((one for one in near if (one / SHOP_FILE).is_file()), None))
    return house, house / "jobs" if folder is None or folder.resolve() == house.resolve() else folder


@command()
def explain(
    words: Annotated[
        list[str] | None, arg("[WORD]...", "A trade, a word, a field such as timber.waste, or a unit.")
    ] = None,
) -> Answer:
    """Explain a word, a unit, a field, or how the figures of a trade are computed.

    Alone it lists what can be asked for.
    """
    from quoting.runs import explain as recipes

    if not words:
        return Answer(_topics_text(*recipes.topics()))
    progress("reading")
    found = recipes.explain(" ".join(words))
    return Answer(page_text(found) if isinstance(found, recipes.Page) else meanings_text(found))


def _topics_text(pages: Sequence[tuple[str, str]], terms: Sequence[str]) -> str:
    """What can be asked for."""
    named = (wrapped(f"{name}: {words}", "  ") for name, words in pages)
    return blocks(
        block("How each figure is computed: quoting explain PAGE", named),
        block("What a word means: quoting explain WORD", [wrapped(", ".join(terms), "  ")]),
        wrapped("Every field of a job or of shop.toml can be asked for too, and every unit."),
    )


def meanings_text(found: Sequence[Meaning]) -> str:
    """A term, or the fields and units of that name."""
    return blocks(*(block(one.term, _meaning(one)) for one in found))


def _meaning(one: Meaning) -> Iterator[str]:
    yield wrapped(one.words, "  ")
    if one.written:
        yield f"  {one.written}"
    if one.page:
        yield dim(f"  more: quoting explain {one.page}")


def page_text(page: Page) -> str:
    """A trade: what is computed and how, what a job says of it, what the shop says, the words of it."""
    return blocks(
        block(page.name, [wrapped(page.words, "  ")]),
        block("How it is computed", _equations(page.equations)),
        block("On a sample", _example(page.example) if page.example else ()),
        block("In a job, by example", _fields(page.job)),
        block("In shop.toml, as a new shop has it or by example", _fields(page.shop)),
        block("Words", (wrapped(f"{term}: {means}", "  ") for term, means in page.terms)),
    )


def _equations(found: Sequence[tuple[str, str]]) -> Iterator[str]:
    for name, words in found:
        yield f"  {name}"
        yield from (wrapped(one, "    ") for one in _paragraphs(words))
    if found:
        yield aside(UNITS, "  ")


def _example(example: Example) -> Iterator[str]:
    """The sample's own figures for the trade."""
    from quoting.cli.breakdown import chain_text, group_text, unsure_text
    from quoting.runs.explain import CHAIN, LIFTING, UNSURE

    priced = example.priced
    yield wrapped(f"{priced.job.piece.title}: {example.file}", "  ")
    for name in example.blocks:
        if name == CHAIN:
            yield chain_text(priced)
        elif name == UNSURE:
            yield unsure_text(priced)
        elif name == LIFTING:
            yield from (wrapped(one.words, "  ") for one in priced.warnings if one.code == LIFTING)
        else:
            yield group_text(priced, name, short=False, most=MOST)


def _fields(found: Sequence[tuple[str, Sequence[Field]]]) -> Iterator[str]:
    for section, fields in found:
        yield f"  {section}"
        for one in fields:
            yield wrapped(f"{one.name} = {one.value}" + (f"   {one.words}" if one.words else ""), "    ")


def _paragraphs(words: str) -> list[str]:
    """Paragraphs of a docstring, each in one line; marks of code left out, and what is for programmers: what is raised, shapes."""
    parts = (" ".join(part.split()).replace("`", "") for part in re.split(r"\n\s*\n", words))
    told = (part for part in parts if not part.startswith("Shapes: "))
    return [bare for part in told if (bare := re.sub(r" ?Raises [A-Z][^.]*\.", "", part).strip())]
