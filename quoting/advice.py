"""What speaks of the door a maker came in by, its options, commands and calls: a code and values, which each door words for itself."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal

Door = Literal["terminal", "python"]


class Advice(str):
    """Words that each door says in its own way: `reference/advice.toml` has them by `code`, with slots for `values`.

    As plain text it is what a caller in Python reads; `worded` gives those of another door. Raises KeyError for a code that
    the table lacks, and where a slot is not filled.
    """

    code: str
    values: Mapping[str, object]

    def __new__(cls, code: str, /, **values: object) -> Advice:
        """The advice of a code, with its values."""
        made = super().__new__(cls, _said(code, values, "python"))
        made.code, made.values = code, values
        return made


def worded(words: str, door: Door) -> str:
    """Words as a door says them; text that is no advice is the same at all of them."""
    return _said(words.code, words.values, door) if isinstance(words, Advice) else words


def argument(name: str) -> Advice:
    """What a maker gives beside the files: an option at the terminal, an argument of a call."""
    return Advice("argument", name=name)


@cache
def advices() -> Mapping[str, Mapping[Door, str]]:
    """The words of every code by door, with slots in braces."""
    text = files("quoting").joinpath("reference", "advice.toml").read_text(encoding="utf-8")
    found: Mapping[str, Any] = tomllib.loads(text)
    return found


def _said(code: str, values: Mapping[str, object], door: Door) -> str:
    said = {name: worded(one, door) if isinstance(one, str) else one for name, one in values.items()}
    return advices()[code][door].format_map(said)
