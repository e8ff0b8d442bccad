"""What a maker may write in a file, and how raw tables become records of it; what is wrong is told in a maker's words."""

import types
import typing
from collections.abc import Callable, Container, Mapping, Sequence
from copy import copy
from dataclasses import field, fields, is_dataclass, make_dataclass
from functools import partial, reduce
from types import GenericAlias
from typing import Any, NamedTuple, get_type_hints

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from quoting.by_trade import head, made
from quoting.errors import Path, Problem, Reading, nearest, refuse
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.starters import said_by_all
from quoting.reading.fields import Fitted, Strict, Word, shown
from quoting.reading.sources import Source, lines_of
from quoting.reading.tables import reference_rows
from quoting.trades.registry import derived, missing, sections, trades
from quoting.values import key, slug

JOB = "job"
"""Where the names of sections stand."""


@derived
def form(kind: type) -> type:
    """The record of a whole file, for reading and for advice: of a job or a shop with the sections of all trades, else the record itself."""
    own = {Job: _of_parts, Shop: _of_sections}.get(kind)
    if own is None:
        return kind
    hints = get_type_hints(kind, include_extras=True)
    there = [(one.name, hints[one.name], copy(one)) for one in head(kind)]
    declared, taken = own(), {name for name, _, _ in there}
    # A trade from outside may not call itself, or a section of the shop file, as the house calls one.
    refuse(
        _taken(name, one.outside)
        for name, _, _ in declared
        for one in trades().values()
        if name in taken and name in (one.name, *(section.name for section in one.sections))
    )
    names = [*there, *declared]
    return make_dataclass(kind.__name__, names, bases=(Strict,), frozen=True, slots=True, kw_only=True)


def _taken(name: str, package: str) -> Problem:
    found = f"found a section of this name from {package}"
    return Problem.of(name, found, "take the package off", "package", package=package)


def _of_parts() -> list[tuple[str, Any, Any]]:
    return [
        (name, GenericAlias(tuple, (trade.named(trade.record), ...)), field(default=()))
        for name, trade in trades().items()
        if trade.record
    ]


def _of_sections() -> list[tuple[str, Any, Any]]:
    found: list[tuple[str, Any, Any]] = []
    for name, (trade, section) in sections().items():
        record = trade.named(section.record)
        kind, usual = (GenericAlias(dict, (Word, record)), dict) if section.family else (record, record)
        found.append((name, kind, field() if section.needed else field(default_factory=usual)))
    return found


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
    shared = [{**row, "where": row["where"].split()} for row in reference_rows("also_called")]
    own = [row for _, rows in said_by_all("also_called") for row in rows]
    return {(where, row["word"]): row["means"] for row in (*own, *shared) for where in row["where"]}


def problem_of(
    error: ErrorDetails, root: type, raw: Mapping[str, Any], own: Mapping[str, Any]
) -> tuple[Path, Problem]:
    """The place of an error in the file, and the problem in words; `own` is what the maker wrote, without what stands in for the rest."""
    path: Path = tuple(one for one in error["loc"] if one != "[key]" and not str(one).startswith("function-"))
    field = dotted(path, raw)
    said = shown(error["input"])
    found = f"found {said}"
    if error["type"] == "value_error" and isinstance(reading := error.get("ctx", {}).get("error"), Reading):
        return path, reading.problem(field)
    if error["type"] == "missing":
        return path, Problem.of(field, "found nothing", _missing(path, root), "missing")
    if error["type"] in ("unexpected_keyword_argument", "extra_forbidden"):
        known, what = keys_at(root, path[:-1]), "field" if path[1:] else "section"
        where = str(path[0]) if path[1:] else JOB
        if not path[1:] and (gone := missing(str(path[0]))) is not None:
            return path, Problem.of(field, *gone, "package")
        there = reduce(_below_raw, path[:-1], own) if path[1:] else None  # a section may be written again
        advice = nearest_key(where, str(path[-1]), known, there or ())
        found, code = f"found a {what} that does not exist here", f"unknown_{what}"
        return path, Problem.of(field, found, advice, code, name=path[-1], known=known)
    if error["type"] == "literal_error":
        expected = str(error["ctx"]["expected"])
        return path, Problem.of(field, found, f"write {expected}", "not_a_choice", found=said, known=expected)
    if error["type"] == "tuple_type":
        of_trade = path[-1] in trades()
        wanted = f"write [[{path[-1]}]] above its fields" if of_trade else "write a list [ ... ]"
        return path, Problem.of(field, found, wanted, "not_a_list", found=said)
    return path, Problem.of(field, found, "write a table of its own", "not_a_table", found=said)


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
        raw = _below_raw(raw, step)
        if isinstance(step, int):
            words.append(raw_id(str(path[0]), raw) or str(step + 1))
        else:
            words.append(step)
    return ".".join(words)


def raw_id(trade: str, raw: Any) -> str:
    """The id of an entry that is not validated yet: given, or the slug of what names it; "" if neither."""
    if not isinstance(raw, dict):
        return ""
    one = trades().get(trade)
    given = (raw.get("id"), raw.get(one.named(one.record).naming if one and one.record else "name"))
    return next((slug(name) for name in given if isinstance(name, str) and name), "")


def _below_raw(raw: Any, step: str | int) -> Any:
    """What a file holds one step down; None where a step is no name of the file but of a kind that was tried."""
    try:
        return raw[step]
    except (KeyError, IndexError, TypeError):
        return None


def keys_at(root: type, path: Sequence[str | int]) -> list[str]:
    """The field names a maker may write at `path` below the record type `root`."""
    kind = given(hint_at(root, path))
    return [field.name.rstrip("_") for field in fields(kind)] if is_dataclass(kind) else []


def is_at(root: type, path: Sequence[str | int]) -> bool:
    """True where something may be written at `path` below the record type `root`."""
    return hint_at(root, path) is not None


def hint_at(root: type, path: Sequence[str | int]) -> Any:
    """The type of what is written at `path` below the record type `root`, with what reads it; None where nothing may stand there."""
    hint: Any = form(root)
    for step in path:
        hint = _below(hint, step)
    return hint


def _below(hint: Any, step: str | int) -> Any:
    """The type one step down: a field of a record, an entry of a list, a table of a family."""
    hint = given(hint)
    if is_dataclass(hint):
        hints = typing.get_type_hints(hint, include_extras=True)
        return hints.get(str(step), hints.get(f"{step}_"))
    arguments = typing.get_args(hint)
    if typing.get_origin(hint) is tuple:
        return arguments[0]
    return arguments[1] if typing.get_origin(hint) is dict else None


def given(hint: Any) -> Any:
    """A type without its `| None`."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return next(one for one in typing.get_args(hint) if one is not type(None))
    return hint


def no_such(root: type, path: Sequence[str | int], raw: Mapping[str, Any]) -> Problem | None:
    """What is wrong with a path at which a maker may write nothing, with the nearest name; None where one may."""
    i = next((i for i in range(len(path)) if not is_at(root, path[: i + 1])), None)
    if i is not None:
        known, what = keys_at(root, path[:i]), "field" if i else "section"
        advice = nearest_key(str(path[0]) if i else JOB, str(path[i]), known)
        found, code = f"found a {what} that does not exist here", f"unknown_{what}"
        wrong = Problem.of(dotted(path, raw), found, advice, code, name=path[i], known=known)
        return wrong.at("", 0, tuple(path))
    return None


def dimension_of(hint: Any) -> str:
    """The dimension that a field's type reads, or the values of a table; "" for text, counts and the like."""
    for note in getattr(hint, "__metadata__", ()):
        if isinstance(note, Fitted):
            return note.dimension
        reader = getattr(note, "func", None)
        if isinstance(reader, partial):
            return str(reader.keywords.get("dimension", ""))
    inner = typing.get_args(hint)[-1:] if typing.get_origin(hint) is dict else typing.get_args(hint)
    return next(filter(None, map(dimension_of, inner)), "")


@derived
def _adapter(kind: type) -> TypeAdapter[Any]:
    """The validator of a record type, built once: building it costs more than using it."""
    return TypeAdapter(form(kind))


class Valid(NamedTuple):
    """The record of a file, None where its head is wrong; what is wrong in it, and the paths of that in the raw tables."""

    record: Any
    problems: list[Problem]
    wrong: frozenset[Path]


def validated(
    source: Source,
    kind: type,
    raw: dict[str, Any],
    in_file: Callable[[Path, str], Path] = lambda path, _: path,
) -> Valid:
    """The record of a file and what is wrong in it. Parts and options that are wrong are left out, so
    that all others can still be checked; None where the head itself is wrong. `in_file` tells where the file has what
    stands at a path of the raw tables, with its name, where they differ from it.
    """
    problems: list[Problem] = []
    wrong: frozenset[Path] = frozenset()
    for _ in range(2):
        try:
            written = _adapter(kind).validate_python(raw)
            if form(kind) is not kind:
                written = made(kind, {one.name: getattr(written, one.name) for one in fields(written)})
            return Valid(written, problems, wrong)
        except ValidationError as error:
            found = [problem_of(one, kind, raw, source.raw) for one in error.errors(include_url=False)]
        paths = [in_file(path, problem.field) for path, problem in found]
        lines = lines_of(source.text, paths)
        told = zip(found, lines, paths, strict=True)
        problems += [source.placed(problem, line, path) for (_, problem), line, path in told]
        wrong |= {path for path, _ in found}
        raw = _without_entries(raw, {path[:2] for path, _ in found})
        if raw is None:
            break
    return Valid(None, problems, wrong)


def _without_entries(raw: dict[str, Any], wrong: set[Path]) -> Any:
    """The raw job without its wrong parts and options; None where something else is wrong."""
    entries = (*trades(), "option")
    if not all(len(path) == 2 and path[0] in entries and isinstance(path[1], int) for path in wrong):
        return None
    return {
        name: [one for i, one in enumerate(value) if (name, i) not in wrong] if name in entries else value
        for name, value in raw.items()
    }
