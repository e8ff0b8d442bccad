"""What pydantic found wrong, in the words of a maker."""

from __future__ import annotations

import types
import typing
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

from quoting.errors import Problem, Reading, nearest
from quoting.inputs.fields import shown
from quoting.inputs.naming import raw_id

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from pydantic_core import ErrorDetails

Path = tuple[str | int, ...]


def problem_of(error: ErrorDetails, root: type, raw: Mapping[str, Any]) -> tuple[Path, Problem]:
    """The place of an error in the file, and the problem in words."""
    path: Path = tuple(step for step in error["loc"] if not str(step).startswith("function-"))
    field = dotted(path, raw)
    found = f"found {shown(error['input'])}"
    if error["type"] == "value_error" and isinstance(reading := error.get("ctx", {}).get("error"), Reading):
        return path, Problem(field, reading.found, reading.write)
    if error["type"] == "missing":
        return path, Problem(field, "found nothing", f"write {path[-1]} = ...")
    if error["type"] in ("unexpected_keyword_argument", "extra_forbidden"):
        known = keys_at(root, path[:-1])
        return path, Problem(field, "found a field that does not exist here", nearest(str(path[-1]), known))
    if error["type"] == "literal_error":
        return path, Problem(field, found, f"write {error['ctx']['expected']}")
    wanted = {"tuple_type": "write a list [ ... ]", "dict_type": "write a table of its own"}
    return path, Problem(field, found, wanted.get(error["type"], "write a table of its own"))


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


def keys_at(root: type, path: Sequence[str | int]) -> list[str]:
    """The field names a maker may write at `path` below the record type `root`."""
    kind: Any = root
    for step in path:
        kind = _inner(kind, step)
        if kind is None:
            return []
    return [field.name.rstrip("_") for field in fields(kind)] if is_dataclass(kind) else []


def _inner(kind: Any, step: str | int) -> Any:
    if is_dataclass(kind):
        hints = typing.get_type_hints(kind)
        return _record_in(hints.get(str(step)))
    return kind


def _record_in(hint: Any) -> Any:
    """The record type inside X | None, tuple[X, ...], dict[str, X]."""
    if is_dataclass(hint):
        return hint
    if typing.get_origin(hint) in (typing.Union, types.UnionType, tuple, dict):
        return next((one for one in map(_record_in, typing.get_args(hint)) if one), None)
    return None
