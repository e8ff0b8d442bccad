"""The command that explains words, units, fields and figures."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated

from quoting.cli.app import Answer, arg, command, this_day
from quoting.cli.terminal import aside, block, blocks, dim, progress, wrapped

if TYPE_CHECKING:
    from quoting.job.starters import Field
    from quoting.runs.explain import Example, Meaning, Page

MOST = 4
"""Lines of a group that are enough to see how it is computed."""

UNITS = "Units in [brackets] are those the tool reckons in: you write and read your own."


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
    found = recipes.explain(" ".join(words), this_day())
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
