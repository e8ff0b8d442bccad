"""Raw tables become records; what is wrong is told with its line, in the words of a maker."""

import csv
import types
import typing
from collections.abc import Container, Mapping, Sequence
from dataclasses import fields, is_dataclass
from importlib.resources import files
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from quoting.errors import Problem, Reading, nearest
from quoting.job.form import form, gathered
from quoting.job.naming import raw_id
from quoting.job.wording import said_by_all
from quoting.reading.fields import shown
from quoting.reading.locate import lines_of
from quoting.reading.sources import Source
from quoting.trades.registry import derived, missing, trades
from quoting.values import key

JOB = "job"
"""Where the names of sections stand."""


Path = tuple[str | int, ...]


def nearest_key(where: str, name: str, known: Sequence[str], there: Container[str] = ()) -> str:
    """Advice for a name that does not exist in a section, or among them (JOB): what is meant by it, else the nearest of those known,
    else a few. What is `there` already is not advised again.
    """
    meant = also_called(where, name)
    if meant is None or meant not in known:
        return nearest(name, known)
    return f'leave it out: "{meant}" is there' if meant in there else f'write "{meant}"'


def also_called(where: str, name: str) -> str | None:
    """What a word means in a section, or among the sections (JOB); None for one that has no other meaning."""
    return _others().get((where, key(name.replace("_", " "))))


@derived
def _others() -> dict[tuple[str, str], str]:
    """What is meant, by section and word: of several trades or of none, then what each trade says of its own."""
    text = files("quoting").joinpath("reference", "also_called.csv").read_text(encoding="utf-8")
    shared = [{**row, "where": row["where"].split()} for row in csv.DictReader(text.splitlines())]
    own = [row for _, rows in said_by_all("also_called") for row in rows]
    return {(where, row["word"]): row["means"] for row in (*own, *shared) for where in row["where"]}


def problem_of(error: ErrorDetails, root: type, raw: Mapping[str, Any]) -> tuple[Path, Problem]:
    """The place of an error in the file, and the problem in words."""
    path: Path = tuple(
        step for step in error["loc"] if step != "[key]" and not str(step).startswith("function-")
    )
    field = dotted(path, raw)
    found = f"found {shown(error['input'])}"
    if error["type"] == "value_error" and isinstance(reading := error.get("ctx", {}).get("error"), Reading):
        return path, Problem(field, reading.found, reading.write)
    if error["type"] == "missing":
        return path, Problem(field, "found nothing", _missing(path, root))
    if error["type"] in ("unexpected_keyword_argument", "extra_forbidden"):
        known, what = keys_at(root, path[:-1]), "field" if path[1:] else "section"
        where = str(path[0]) if path[1:] else JOB
        if not path[1:] and (gone := missing(str(path[0]))) is not None:
            return path, Problem(field, *gone)
        there = _at(raw, path[:-1]) if path[1:] else ()  # a section may be written again
        advice = nearest_key(where, str(path[-1]), known, there)
        return path, Problem(field, f"found a {what} that does not exist here", advice)
    if error["type"] == "literal_error":
        return path, Problem(field, found, f"write {error['ctx']['expected']}")
    if error["type"] == "tuple_type":
        of_trade = path[-1] in trades()
        wanted = f"write [[{path[-1]}]] above its fields" if of_trade else "write a list [ ... ]"
        return path, Problem(field, found, wanted)
    return path, Problem(field, found, "write a table of its own")


def _missing(path: Path, root: type) -> str:
    """What to write where a field or a section is missing."""
    if path == ("format",):
        return "write format = 1"
    if len(path) == 1 and keys_at(root, path):
        return f"write a section [{path[0]}]"
    return f'write {path[-1]} = "..."'


def dotted(path: Sequence[str | int], raw: Any) -> str:
    """A path in the grammar of names: positions give way to the ids of parts."""
    words: list[str] = []
    for step in path:
        try:
            raw = raw[step]
        except (KeyError, IndexError, TypeError):
            raw = None
        if isinstance(step, int):
            words.append(raw_id(str(path[0]), raw) or str(step + 1))
        else:
            words.append(step)
    return ".".join(words)


def _at(raw: Any, path: Sequence[str | int]) -> Any:
    """What a file holds at a path; nothing where a step is no name of the file but of a kind that was tried."""
    for step in path:
        try:
            raw = raw[step]
        except (KeyError, IndexError, TypeError):
            return ()
    return raw


def keys_at(root: type, path: Sequence[str | int]) -> list[str]:
    """The field names a maker may write at `path` below the record type `root`."""
    kind = _given(_hint_at(root, path))
    return [field.name.rstrip("_") for field in fields(kind)] if is_dataclass(kind) else []


def is_at(root: type, path: Sequence[str | int]) -> bool:
    """True where something may be written at `path` below the record type `root`."""
    return _hint_at(root, path) is not None


def _hint_at(root: type, path: Sequence[str | int]) -> Any:
    hint: Any = form(root)
    for step in path:
        hint = _below(hint, step)
    return hint


def _below(hint: Any, step: str | int) -> Any:
    """The type one step down: a field of a record, an entry of a list, a table of a family."""
    hint = _given(hint)
    if is_dataclass(hint):
        return typing.get_type_hints(hint).get(str(step))
    arguments = typing.get_args(hint)
    if typing.get_origin(hint) is tuple:
        return arguments[0]
    return arguments[1] if typing.get_origin(hint) is dict else None


def _given(hint: Any) -> Any:
    """A type without its `| None`."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return next(one for one in typing.get_args(hint) if one is not type(None))
    return hint


@derived
def _adapter(kind: type) -> TypeAdapter[Any]:
    """The validator of a record type, built once: building it costs more than using it."""
    return TypeAdapter(form(kind))


def validated(source: Source, kind: type, raw: dict[str, Any]) -> tuple[Any, list[Problem]]:
    """The record of a file and what is wrong in it. Parts that are wrong are left out, so that the rules
    between fields can still be checked on the others; None where the head itself is wrong.
    """
    problems: list[Problem] = []
    for _ in range(2):
        try:
            return gathered(kind, _adapter(kind).validate_python(raw)), problems
        except ValidationError as error:
            found = [problem_of(one, kind, raw) for one in error.errors(include_url=False)]
        lines = lines_of(source.text, [path for path, _ in found])
        problems += [source.placed(problem, line) for (_, problem), line in zip(found, lines, strict=True)]
        raw = _without_parts(raw, {path[:2] for path, _ in found})
        if raw is None:
            break
    return None, problems


def _without_parts(raw: dict[str, Any], wrong: set[tuple[str | int, ...]]) -> Any:
    """The raw job without its wrong parts; None where something else is wrong."""
    if not all(len(path) == 2 and path[0] in trades() and isinstance(path[1], int) for path in wrong):
        return None
    return {
        name: [part for i, part in enumerate(value) if (name, i) not in wrong] if name in trades() else value
        for name, value in raw.items()
    }
