"""How raw tables become the records of a file; what is wrong is told in a maker's words."""

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import fields
from functools import reduce
from typing import Any, NamedTuple

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from quoting.by_trade import made
from quoting.errors import Path, Problem, Reading, nearest
from quoting.job.form import form, is_at, keys_at
from quoting.job.starters import said_by_all
from quoting.reading.lines import lines_of
from quoting.reading.readers import shown
from quoting.reading.sources import Source
from quoting.reading.tables import reference_rows
from quoting.trades.registry import derived, missing, trades
from quoting.values import key, slug

JOB = "job"
"""Where the names of sections stand."""


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
