"""What pydantic found wrong, in the words of a maker."""

from __future__ import annotations

import types
import typing
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

from quoting.errors import Problem, Reading
from quoting.inputs.also_called import JOB, nearest_key
from quoting.inputs.fields import shown
from quoting.inputs.job import TRADES
from quoting.inputs.naming import raw_id

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from pydantic_core import ErrorDetails

Path = tuple[str | int, ...]


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
        there = _at(raw, path[:-1]) if path[1:] else ()  # a section may be written again
        advice = nearest_key(where, str(path[-1]), known, there)
        return path, Problem(field, f"found a {what} that does not exist here", advice)
    if error["type"] == "literal_error":
        return path, Problem(field, found, f"write {error['ctx']['expected']}")
    if error["type"] == "tuple_type":
        trade = path[-1] if path[-1] in TRADES else ""
        return path, Problem(
            field, found, f"write [[{trade}]] above its fields" if trade else "write a list [ ... ]"
        )
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
    hint: Any = root
    for step in path:
        hint = _below(hint, step)
    kind = _record(hint)
    return [field.name.rstrip("_") for field in fields(kind)] if kind else []


def is_at(root: type, path: Sequence[str | int]) -> bool:
    """True where something may be written at `path` below the record type `root`."""
    hint: Any = root
    for step in path:
        hint = _below(hint, step)
    return hint is not None


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


def _record(hint: Any) -> Any:
    hint = _given(hint)
    return hint if is_dataclass(hint) else None
