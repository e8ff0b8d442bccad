"""Folders that travel with the package, and the comments of the starter files, field by field."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


NAMED_FAMILIES = ("machine", "species", "cause", "resin", "glass", "supplier", "fee", "sundries", "ply")
"""Sections whose tables a maker names: the template shows examples, none of them is in force."""


HEADER = re.compile(r'#?(\[\[?)([a-z_]+(?:\.[a-z_]+|\."[^"]+")*)\]\]?\s*(?:#\s*(.*))?$')
FIELD = re.compile(r"(#(?: e\.g\. )?)?([a-z_]+) = (.+)$")
QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"')


SUCH_AS = "such as "
"""How the explanation of a field begins that has an example."""


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


@cache
def sections(file: str) -> dict[str, Section]:
    """The sections of a starter file by name, in their order; a field once, as it stands first."""
    found: dict[str, Section] = {}
    name = ""
    for line in shipped("templates").joinpath(file).read_text(encoding="utf-8").splitlines():
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
