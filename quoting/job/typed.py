"""What a maker types for a field becomes a value of the kind that the field takes: text, a number, yes or no, a day, a list."""

import re
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import date
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from quoting.errors import Reading
from quoting.job.book_cells import BETWEEN, DAY, NUMBER, YES_NO, number_of
from quoting.job.form import hint_at
from quoting.reading.splice import toml_value

LONGEST_NUMBER = 100  # digits
RANGE = re.compile(r"(?<=[\d%.A-Za-z])\s+to\s+(?=[\d.])")  # as in "6 to 9 %"
ONLY = "write text, a number, true or false, a day, or a list of these"


def typed(root: type, path: Sequence[str | int], value: Any) -> Any:
    """A value for the field at `path` of a job or a shop: the first way to mean it that the field takes; where it takes none, what was
    typed. Raises Reading for what no file can hold.
    """
    hint = hint_at(root, path)
    if any(isinstance(note, FieldInfo) for note in getattr(hint, "__metadata__", ())):
        hint = hint.__origin__  # its other name means nothing where it stands alone
    adapter: TypeAdapter[Any] = TypeAdapter(hint)
    for way in _ways(value, several=hint is not Any):
        with suppress(ValidationError):
            adapter.validate_python(way)
            return _held(way)
    return _held(value)


def _held(value: Any) -> Any:
    """The value itself. Raises Reading where TOML has no way to write it."""
    try:
        toml_value(value).encode()
    except (TypeError, ValueError):
        raise Reading("found what a file cannot hold", ONLY, "cannot_hold") from None
    return value


def _ways(value: Any, several: bool) -> Iterator[Any]:
    """What may be meant by what was typed, the most particular first."""
    if isinstance(value, bool | date):
        yield value
    elif isinstance(value, int | float):
        yield from (value, f"{value:.15g}")
        if isinstance(value, float) and value.is_integer():
            yield int(value)
    elif isinstance(value, str):
        yield from _of_text(value.strip(), several)
    else:
        yield value


def _of_text(text: str, several: bool) -> Iterator[Any]:
    """Yes and no, a number, a day, a list or table as TOML writes it, several texts, text, a range in words."""
    if text.casefold() in YES_NO:
        yield YES_NO[text.casefold()]
    if NUMBER.fullmatch(text) and len(text) <= LONGEST_NUMBER:
        yield number_of(text)
    if DAY.fullmatch(text):
        with suppress(ValueError):
            yield date.fromisoformat(text)
    if text.startswith(("[", "{")):
        with suppress(ValueError, RecursionError):
            yield tomllib.loads(f"value = {text}")["value"]
    if several and BETWEEN in text:
        yield _list(text)
    yield text
    if RANGE.search(text):
        yield RANGE.sub(" .. ", text)
    yield _list(text)


def _list(text: str) -> list[str]:
    return [part.strip() for part in text.split(BETWEEN) if part.strip()]
