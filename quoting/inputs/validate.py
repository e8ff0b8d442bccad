"""Raw tables become records; what is wrong is told with its line."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter, ValidationError

from quoting.inputs.explain import problem_of
from quoting.inputs.job import TRADES
from quoting.inputs.locate import lines_of

if TYPE_CHECKING:
    from quoting.errors import Problem
    from quoting.inputs.sources import Source


@cache
def _adapter(kind: type) -> TypeAdapter[Any]:
    """The validator of a record type, built once: building it costs more than using it."""
    return TypeAdapter(kind)


def validated(source: Source, kind: type, raw: dict[str, Any]) -> tuple[Any, list[Problem]]:
    """The record of a file and what is wrong in it. Parts that are wrong are left out, so that the rules
    between fields can still be checked on the others; None where the head itself is wrong.
    """
    problems: list[Problem] = []
    for _ in range(2):
        try:
            return _adapter(kind).validate_python(raw), problems
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
    if not all(len(path) == 2 and path[0] in TRADES and isinstance(path[1], int) for path in wrong):
        return None
    return {
        name: [part for i, part in enumerate(value) if (name, i) not in wrong] if name in TRADES else value
        for name, value in raw.items()
    }
