"""What `quoting explain` says."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from quoting.cli.breakdown import chain_text, group_text, unsure_text
from quoting.cli.terminal import bold, dim, wrapped
from quoting.runs.explain import CHAIN, LIFTING, UNSURE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.reading.starters import Field
    from quoting.runs.explain import Example, Meaning, Page


MOST = 4
"""Lines of a group that are enough to see how it is computed."""

UNITS = "Units in [brackets] are those the tool reckons in: you write and read your own."


def topics_text(pages: Sequence[tuple[str, str]], terms: Sequence[str]) -> str:
    """What can be asked for."""
    rows = [bold("How each figure is computed: quoting explain PAGE")]
    rows += [wrapped(f"{name}: {words}", "  ") for name, words in pages]
    rows += ["", bold("What a word means: quoting explain WORD"), wrapped(", ".join(terms), "  "), ""]
    rows.append(wrapped("Every field of a job or of shop.toml can be asked for too, and every unit.", ""))
    return "\n".join(rows)


def meanings_text(found: Sequence[Meaning]) -> str:
    """A term, or the fields and units of that name."""
    blocks = []
    for one in found:
        rows = [bold(one.term), wrapped(one.words, "  ")]
        rows += [f"  {one.written}"] if one.written else []
        rows += [dim(f"  more: quoting explain {one.page}")] if one.page else []
        blocks.append("\n".join(rows))
    return "\n\n".join(blocks)


def page_text(page: Page) -> str:
    """A trade: what is computed and how, what a job says of it, what the shop says, the words of it."""
    return "\n\n".join(_blocks(page))


def _blocks(page: Page) -> Iterator[str]:
    yield f"{bold(page.name)}\n{wrapped(page.words, '  ')}"
    if page.equations:
        rows = [bold("How it is computed")]
        for name, words in page.equations:
            rows += [f"  {name}", *(wrapped(one, "    ") for one in _paragraphs(words))]
        rows.append(dim(wrapped(UNITS, "  ")))
        yield "\n".join(rows)
    if page.example:
        yield _example(page.example)
    for title, parts in (
        ("In a job, by example", page.job),
        ("In shop.toml, as a new shop has it or by example", page.shop),
    ):
        if parts:
            rows = [bold(title)]
            for section, fields in parts:
                rows += [f"  {section}", *(wrapped(_field(one), "    ") for one in fields)]
            yield "\n".join(rows)
    if page.terms:
        yield "\n".join([bold("Words"), *(wrapped(f"{term}: {means}", "  ") for term, means in page.terms)])


def _example(example: Example) -> str:
    """The sample's own figures for the trade."""
    priced = example.priced
    rows = [bold("On a sample"), wrapped(f"{priced.job.piece.title}: {example.file}", "  ")]
    for block in example.blocks:
        if block == CHAIN:
            rows.append(chain_text(priced))
        elif block == UNSURE:
            rows.append(unsure_text(priced))
        elif block == LIFTING:
            rows += [wrapped(one.words, "  ") for one in priced.warnings if one.code == LIFTING]
        else:
            rows.append(group_text(priced, block, short=False, most=MOST))
    return "\n".join(rows)


def _paragraphs(words: str) -> list[str]:
    """Paragraphs of a docstring, each in one line; marks of code left out, and what is for programmers: what is raised, shapes."""
    parts = (" ".join(part.split()).replace("`", "") for part in re.split(r"\n\s*\n", words))
    told = (part for part in parts if not part.startswith("Shapes: "))
    return [bare for part in told if (bare := re.sub(r" ?Raises [A-Z][^.]*\.", "", part).strip())]


def _field(field: Field) -> str:
    return f"{field.name} = {field.value}" + (f"   {field.words}" if field.words else "")
