"""What is shipped, and what a shop says instead: starter files of a frame and the rows of every trade; words of trades and quotes."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from quoting.declaration import TEXTS, Trade, in_force
from quoting.errors import Problem, Reading, nearest
from quoting.job.job import Job
from quoting.reading import readers
from quoting.reading.lines import line_of
from quoting.reading.sources import collected, read_toml
from quoting.reading.tables import reference
from quoting.trades import registry
from quoting.trades.registry import derived, trades

HEADER = re.compile(r'#?(\[\[?)([a-z_]+(?:\.[a-z_]+|\."[^"]+")*)\]\]?\s*(?:#\s*(.*))?$')
FIELD = re.compile(r"(#(?: e\.g\. )?)?([a-z_]+) = (.+)$")
QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"')

SUCH_AS = "such as "
"""How the explanation of a field begins that has an example."""

OF_THE_HOUSE = ("machine", "cause", "resin", "supplier", "fee", "sundries")
"""Sections of no trade whose tables a maker names."""

OTHERS = "*"
PLACE = re.compile(r"^\{([a-z_]+|\*)/([a-z]+\.toml)\}\n(\n?)", re.MULTILINE)
"""A line of a frame: whose rows stand here, and the file of the trade's folder that holds them. "*" is for all that have no place of
their own, in printed order.
"""

WORDING = "wording.toml"
LONGEST_LABEL = 200  # characters: the heads of a table must fit on a page


def shipped(folder: str) -> Traversable:
    """`templates` or `sample_jobs`: inside an installed package, else beside it in a checkout."""
    inside = files("quoting").joinpath("_data", folder)
    if inside.is_dir():
        return inside
    beside = Path(__file__).resolve().parents[2] / folder
    if not beside.is_dir():
        raise FileNotFoundError(folder)
    return beside


def merged(base: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """`base` with the values of `over` in their places, table by table."""
    result = dict(base)
    for name, value in over.items():
        below = result.get(name)
        result[name] = merged(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return result


class Field(NamedTuple):
    """A field of a section: how its value is written in TOML, and what the comment says. `instead` stands for another field."""

    name: str
    value: str
    words: str
    instead: bool


class Section(NamedTuple):
    """A section of a starter file; `many` where it may be written again and again."""

    name: str
    many: bool
    words: str
    fields: tuple[Field, ...]


@derived
def sections(file: str) -> dict[str, Section]:
    """The sections of a starter file by name, in their order; a field once, as it stands first."""
    found: dict[str, Section] = {}
    name = ""
    for line in starter_text(file).splitlines():
        if header := HEADER.match(line):
            name = header[2]
            found.setdefault(name, Section(name, header[1] == "[[", header[3] or "", ()))
        elif name and (row := FIELD.match(line)):
            section = found[name]
            value, words = _parted(row[3])
            field = Field(row[2], value, words, (row[1] or "").endswith("e.g. "))
            if field.name not in [one.name for one in section.fields]:
                found[name] = section._replace(fields=(*section.fields, field))
    return found


def explained(field: Field) -> str:
    """How a value is written, and what the comment of the starter file says."""
    example = field.value.strip('"')
    such = f"{SUCH_AS}{example}" if example not in ("", "[]", "{}") else ""
    return "; ".join(words for words in (such, field.words) if words)


def _parted(text: str) -> tuple[str, str]:
    """A value and the comment behind it: a number sign within quotes is no comment."""
    bare = QUOTED.sub(lambda quoted: "x" * len(quoted[0]), text)
    at = bare.find("#")
    return (text.strip(), "") if at < 0 else (text[:at].strip(), text[at + 1 :].strip())


@derived
def starter_text(file: str, without: frozenset[str] = frozenset()) -> str:
    """A starter file with the rows of all trades, but for those that are left out."""
    frame = reference("frames", file)
    placed = {(whose, name) for whose, name, _ in PLACE.findall(frame)}

    def rows(place: re.Match[str]) -> str:
        whose, name, blank = place.groups()
        here = (whose,) if whose != OTHERS else (one for one in trades() if (one, name) not in placed)
        found = [text for one in here if one not in without and (text := trades()[one].text(name))]
        return "\n".join(found) + blank if found else ""

    return PLACE.sub(rows, frame)


def named_families() -> tuple[str, ...]:
    """Sections whose tables a maker names: the starter shop shows examples, none of them is in force."""
    of_trades = (name for name, (_, section) in registry.sections().items() if section.family)
    return (*OF_THE_HOUSE, *of_trades)


@derived
def _defaults(without: frozenset[str] = frozenset()) -> dict[str, Any]:
    return in_force(starter_text("shop.toml", without))


def with_defaults(shop: dict[str, Any]) -> dict[str, Any]:
    """A shop file with everything it leaves out filled from the starter shop."""
    defaults = deepcopy(_defaults())  # whoever changes the tables it gets changes no other shop
    for family in named_families():
        own = shop.get(family)
        kept = own if isinstance(own, dict) else {}
        defaults[family] = {name: rows for name, rows in defaults.get(family, {}).items() if name in kept}
    pay = shop.get("pay")
    if not isinstance(pay, dict) or "owner" not in pay:
        defaults["pay"] = {}
    return merged(defaults, shop)


def untold(job: Job) -> frozenset[str]:
    """Trades that neither a job nor its options have a part of, and that are not told always."""
    named = {*job.parts, *(entry.get("trade") for option in job.option for entry in option.add)}
    return frozenset(name for name, one in trades().items() if not one.always and name not in named)


def starter_values(shop: dict[str, Any], job: Job) -> dict[str, int]:
    """How many values of each section a shop file leaves to the starter shop, but for those of untold trades."""
    counts = {}
    for section, defaults in _defaults(untold(job)).items():
        if isinstance(defaults, dict) and section not in named_families():
            missing = set(_leaves(defaults)) - set(_leaves(shop.get(section, {})))
            if missing:
                counts[section] = len(missing)
    return counts


def _leaves(table: Any, path: str = "") -> Iterator[str]:
    if isinstance(table, dict):
        for name, value in table.items():
            yield from _leaves(value, f"{path}.{name}")
    else:
        yield path


@derived
def words_of(trade: str) -> Mapping[str, Any]:
    """The words of a trade; none of one that is not there."""
    one = trades().get(trade)
    return MappingProxyType(one.words() if one is not None else {})


def said_by_all(table: str) -> Iterator[tuple[Trade, Any]]:
    """A table of every trade that has it, with the trade, in printed order."""
    for name, trade in trades().items():
        if table in words_of(name):
            yield trade, words_of(name)[table]


def wording(folder: Path, problems: list[Problem]) -> Mapping[str, Mapping[str, str]]:
    """Texts by section and name; `problems` grows by every text that is unknown or none."""
    words = _shipped_words()
    own = folder / WORDING
    source = collected(problems, own, read_toml) if own.is_file() else None
    if source is None:
        return words
    for section, texts in source.raw.items():
        if section == "format":
            continue
        known = words.get(section)
        if not isinstance(texts, dict) or not isinstance(known, dict):
            advice, line = nearest(section, words), line_of(source.text, [section])
            problem = Problem.of(section, "found an unknown section", advice, "unknown_section", name=section)
            problems.append(problem.at(WORDING, line, (section,)))
            continue
        for name, text in texts.items():
            try:
                known[name] = _text(section, name, text, known)
            except Reading as wrong:
                line = line_of(source.text, [section, name])
                problem = wrong.problem(f"{section}.{name}")
                problems.append(problem.at(WORDING, line, (section, name)))
    return words


def _shipped_words() -> dict[str, Any]:
    """The shipped texts, and those that trades bring: none of them takes the place of one that is there."""
    words: dict[str, Any] = tomllib.loads(shipped("templates").joinpath(WORDING).read_text(encoding="utf-8"))
    for table, section in TEXTS.items():
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
        raise Reading(
            "found no text of the quote", nearest(name, known), "unknown_name", name=name, known=list(known)
        )
    if section == "quote" and len(text) > LONGEST_LABEL:
        found, most = len(text), LONGEST_LABEL
        raise Reading(
            f"found {found} characters", f"write at most {most}", "too_long", found=found, most=most
        )
    if (section, name) == ("quote", "language") and text:
        from babel.localedata import exists  # a language whose months are known

        if not (text.isalpha() and text.islower() and exists(text)):
            wanted = "write a language such as en, de or fr"
            raise Reading(f'found "{text}"', wanted, "unknown_name", name=text)
    return readers.text(text)
