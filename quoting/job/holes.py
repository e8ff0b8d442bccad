"""A file in which something is wrong as a record with holes, so that all else in it can be judged in the same run."""

import typing
from collections.abc import Mapping, Set
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from typing import Any, get_type_hints

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from quoting.by_trade import head
from quoting.errors import Path
from quoting.job.form import form, given
from quoting.job.job import Job
from quoting.job.shop import Shop
from quoting.job.validate import raw_id
from quoting.reading.fields import Part
from quoting.unread import Partly, Unread, with_holes


def job_with_holes(raw: Mapping[str, Any], wrong: Set[Path]) -> Job:
    """The job of raw tables, with holes where something is wrong; every part has an id."""
    own, holes = _fields(form(Job), raw, wrong, ())
    names = {one.name for one in head(Job)}
    parts: dict[str, tuple[Any, ...]] = {}
    for trade in own.keys() - names:
        parts[trade] = own.pop(trade)
    return with_holes(Job, {**own, "parts": parts}, holes & names)


def shop_with_holes(raw: Mapping[str, Any], wrong: Set[Path]) -> Shop:
    """The shop of raw tables, starter values filled in, with holes where something is wrong."""
    own, holes = _fields(form(Shop), raw, wrong, ())
    names = {one.name for one in head(Shop)}
    sections = Partly({name: own.pop(name) for name in own.keys() - names})
    return with_holes(Shop, {**own, "sections": sections}, holes & names)


def _fields(
    kind: type, raw: Mapping[str, Any], wrong: Set[Path], path: Path
) -> tuple[dict[str, Any], set[str]]:
    """What can be read of the fields of a record, and the others."""
    found: dict[str, Any] = {}
    holes: set[str] = set()
    hints = get_type_hints(kind, include_extras=True)
    for one in fields(kind):
        name = one.name.rstrip("_")
        try:
            if name in raw:
                found[one.name] = _read(hints[one.name], raw[name], wrong, (*path, name))
            elif (*path, name) in wrong:
                holes.add(one.name)
            elif one.default is not MISSING:
                found[one.name] = one.default
            elif one.default_factory is not MISSING:
                found[one.name] = one.default_factory()
            else:
                holes.add(one.name)
        except Unread:
            holes.add(one.name)
    return found, holes


def _read(hint: Any, raw: Any, wrong: Set[Path], path: Path) -> Any:
    """A value; Unread where it is wrong as a whole."""
    if path in wrong:
        raise Unread
    if not any(one[: len(path)] == path for one in wrong):
        return _valid(hint, raw)
    kind = given(hint)
    if is_dataclass(kind) and isinstance(kind, type) and isinstance(raw, Mapping):
        values, holes = _fields(kind, raw, wrong, path)
        if issubclass(kind, Part):
            values["id"] = raw_id(str(path[0]), raw) or f"{path[0]}-{int(path[1]) + 1}"
        return with_holes(kind, values, holes - {"id"})
    origin, arguments = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple and isinstance(raw, list):
        return tuple(_entries(arguments[0], dict(enumerate(raw)), wrong, path).values())
    if (
        origin is dict
        and isinstance(raw, Mapping)
        and all(one[len(path)] in raw for one in wrong if one[: len(path)] == path)
    ):
        return _entries(arguments[1], raw, wrong, path)
    raise Unread


def _entries(hint: Any, raw: Mapping[Any, Any], wrong: Set[Path], path: Path) -> dict[Any, Any]:
    """The entries of a list or a family; of parts those that can be read at all, else all or none."""
    found = {}
    for name, one in raw.items():
        try:
            found[name] = _read(hint, one, wrong, (*path, name))
        except Unread:
            kind = given(hint)
            if not (isinstance(kind, type) and issubclass(kind, Part)):
                raise
    return found


def _valid(hint: Any, raw: Any) -> Any:
    try:
        return _adapter(hint).validate_python(raw)
    except ValidationError:  # told elsewhere under another path
        raise Unread from None


@cache
def _adapter(hint: Any) -> TypeAdapter[Any]:
    """The validator of a field's type by itself: of what is noted of it without the name that the file gives it."""
    kind = getattr(hint, "__origin__", hint) if hasattr(hint, "__metadata__") else hint
    for note in getattr(hint, "__metadata__", ()):
        kind = kind if isinstance(note, FieldInfo) else typing.Annotated[kind, note]
    return TypeAdapter(kind)
