"""The words of the trades, of the quote and of the cautions: the shop's own over the shipped ones."""

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from quoting.declaration import Trade
from quoting.errors import Problem, Reading, nearest
from quoting.job.starters import shipped
from quoting.reading import fields
from quoting.reading.sources import collected, line_of
from quoting.trades.registry import derived, trades

OF_A_TRADE, WORDING = "words.toml", "wording.toml"
OF_TRADES = {"caution": "caution", "safety": "safety", "label": "quote"}
"""Tables of texts that a trade may bring, and the section of the quote's words that each stands in."""

LONGEST_LABEL = 200  # characters: the heads of a table must fit on a page


@derived
def words_of(trade: str) -> Mapping[str, Any]:
    """The words of a trade; none of one that is not there."""
    one = trades().get(trade)
    return MappingProxyType(tomllib.loads(one.text(OF_A_TRADE)) if one is not None else {})


def said_by_all(table: str) -> Iterator[tuple[Trade, Any]]:
    """A table of every trade that has it, with the trade, in printed order."""
    for name, trade in trades().items():
        if table in words_of(name):
            yield trade, words_of(name)[table]


def wording(folder: Path, problems: list[Problem]) -> Mapping[str, Mapping[str, str]]:
    """Texts by section and name; `problems` grows by every text that is unknown or none."""
    words = _shipped_words()
    own = folder / WORDING
    source = collected(problems, own) if own.is_file() else None
    if source is None:
        return words
    for section, texts in source.raw.items():
        if section == "format":
            continue
        known = words.get(section)
        if not isinstance(texts, dict) or not isinstance(known, dict):
            line = line_of(source.text, [section])
            advice = nearest(section, words)
            problems.append(Problem(section, "found an unknown section", advice, WORDING, line))
            continue
        for name, text in texts.items():
            try:
                known[name] = _text(section, name, text, known)
            except Reading as wrong:
                line = line_of(source.text, [section, name])
                problems.append(wrong.problem(f"{section}.{name}", WORDING, line))
    return words


def _shipped_words() -> dict[str, Any]:
    """The shipped texts, and those that trades bring: none of them takes the place of one that is there."""
    words: dict[str, Any] = tomllib.loads(shipped("templates").joinpath(WORDING).read_text(encoding="utf-8"))
    for table, section in OF_TRADES.items():
        for _, texts in said_by_all(table):
            words[section] |= {name: text for name, text in texts.items() if name not in words[section]}
    return words


@derived
def safety_notes() -> tuple[str, ...]:
    """The names of the notes for clients that a quote may print."""
    return tuple(_shipped_words()["safety"])


def _text(section: str, name: str, text: object, known: Mapping[str, str]) -> str:
    """A text of the quote; Reading where it is unknown, too long for a label, or a language nobody knows."""
    if name not in known or not isinstance(text, str):
        raise Reading("found no text of the quote", nearest(name, known))
    if section == "quote" and len(text) > LONGEST_LABEL:
        raise Reading(f"found {len(text)} characters", f"write at most {LONGEST_LABEL}")
    if (section, name) == ("quote", "language") and text and not _spoken(text):
        raise Reading(f'found "{text}"', "write a language such as en, de or fr")
    return fields.text(text)


def _spoken(language: str) -> bool:
    """True for a language whose months are known."""
    from babel.localedata import exists

    return language.isalpha() and language.islower() and exists(language)
