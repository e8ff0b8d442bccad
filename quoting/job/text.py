"""A job as the text of its file, with the comments of the starter job: field by field, and what each line holds."""

import re
from collections.abc import Iterator, Mapping
from datetime import date, time
from typing import Any, NamedTuple

from quoting.job.starters import Section, sections, starter_text

FILE = "job.toml"
BARE = re.compile(r"[A-Za-z0-9_-]+")
COMMENT_AT = 32  # column of comments, where values are short enough

At = tuple[str | int, ...]


class Line(NamedTuple):
    """A line of a job file, and the path of the value or table that begins there; none of a comment."""

    text: str
    path: At = ()


def job_text(raw: Mapping[str, Any], explained: bool = True) -> str:
    """The text of a job from its raw tables; `explained` with every field that it could have, commented out, once a section."""
    return "\n".join(line.text for line in job_lines(raw, explained)) + "\n"


def job_lines(raw: Mapping[str, Any], explained: bool) -> Iterator[Line]:
    """Sections in the order of the starter job, then those that it does not know; fields likewise."""
    yield from (Line(words) for words in _opening())
    for name, value in raw.items():
        if not isinstance(value, dict) and not _tables(value):
            yield Line(f"{_key(name)} = {toml_value(value)}", (name,))
    known = sections(FILE)
    names = [*(name for name in known if name in raw), *(name for name in raw if name not in known)]
    for name in names:
        value = raw[name]
        empty: Section | None = known.get(name)
        if _tables(value):
            for i, table in enumerate(value):
                shown = empty if explained and i == 0 else None
                yield from _section(f"[[{_key(name)}]]", table, empty, shown, (name, i))
        elif isinstance(value, dict) and all(isinstance(one, dict) for one in value.values()) and value:
            for inner, table in value.items():
                yield from _section(f"[{_key(name)}.{_key(inner)}]", table, None, None, (name, inner))
        elif isinstance(value, dict):
            yield from _section(f"[{_key(name)}]", value, empty, empty if explained else None, (name,))


def _opening() -> list[str]:
    """What the starter job says at its head of how things are written."""
    words = starter_text(FILE).partition("\n\n")[0]
    return [*(line for line in words.splitlines() if not line.startswith("# One piece")), ""]


def _tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def _section(
    header: str, table: Mapping[str, Any], known: Section | None, explained: Section | None, path: At
) -> Iterator[Line]:
    words = f"  # {known.words}" if known is not None and known.words and explained is not None else ""
    yield Line("")
    yield Line(header + words, path)
    fields = known.fields if known is not None else ()
    of = {field.name: field for field in fields}
    for name in [*(one for one in of if one in table), *(one for one in table if one not in of)]:
        comment = of[name].words if name in of and explained is not None else ""
        yield Line(_commented(f"{_key(name)} = {toml_value(table[name])}", comment), (*path, name))
    for field in explained.fields if explained is not None else ():
        if field.name not in table:
            start = "# e.g. " if field.instead else "#"
            yield Line(_commented(f"{start}{field.name} = {field.value}", field.words))


def _commented(text: str, words: str) -> str:
    return f"{text.ljust(COMMENT_AT - 1)} # {words}" if words else text


def toml_value(value: Any) -> str:
    """A value as TOML writes it, on one line."""
    import tomlkit

    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return str(tomlkit.string(value).as_string())
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, dict):
        inner = ", ".join(f"{_key(name)} = {toml_value(one)}" for name, one in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(toml_value, value))}]"
    if isinstance(value, int | float):
        return repr(value)
    raise TypeError(f"{value!r} cannot stand in a job file")


def _key(name: str) -> str:
    return name if BARE.fullmatch(name) else toml_value(name)
