"""What can be wrong with a maker's files, said once and in one form, and the exit statuses."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from contextlib import contextmanager
from dataclasses import dataclass, replace
from dataclasses import field as kept
from enum import IntEnum
from typing import Any, TypeVar

from quoting.advice import Door, worded

T = TypeVar("T")

UNTOLD = "rule"
"""The code of what only its words tell: a rule of a trade that another package brings."""

Path = tuple[str | int, ...]
"""Where a value stands in its file: section, position in its list from 0 on, field. In a table of rows: position and column."""


class Exit(IntEnum):
    """Exit statuses of the command."""

    DONE = 0
    WRONG_FILES = 2
    POLICY_BROKEN = 3
    OUR_BUG = 70
    INTERRUPTED = 130


UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")  # what steers a terminal, or the direction of what it shows


def one_line(text: str) -> str:
    """Text on one line, in which what cannot be seen can do nothing: a stand-in is put in its place."""
    line = text.replace("\n", " ").replace("\t", " ")
    return "".join("?" if unicodedata.category(c) in UNSEEN else c for c in line)


def plain(value: object) -> Any:
    """A value as data that any program reads: text, numbers, truth, lists and tables of them."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, Mapping):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, Sequence | Set):
        return [plain(one) for one in value]
    return value.tolist() if hasattr(value, "tolist") else str(value)  # a number of an array


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a maker must put right: where it stands, what was found, what to write.

    `field` is its name in words, `path` its place in the file; empty where it is about the whole of it, or about no file. `code` is a
    word for the kind of fault that stays the same (`reference/problems.csv` has them all, and what each means); `values` are the
    figures and names that the words are made of, in canonical units.
    """

    field: str
    found: str
    write: str
    file: str = ""
    line: int = 0
    path: Path = ()
    code: str = UNTOLD
    values: Mapping[str, Any] = kept(default_factory=dict, hash=False)

    @classmethod
    def of(cls, field: str, found: str, write: str, code: str, /, **values: object) -> Problem:
        """A problem of a kind, with what its words were made of."""
        return cls(field, found, write, code=code, values=plain(values))

    def __str__(self) -> str:
        return self.said("python")

    def said(self, door: Door) -> str:
        """The problem in a line, in the words of a door."""
        file, field, found, write = (
            worded(words, door) for words in (self.file, self.field, self.found, self.write)
        )
        place = f"{file}:{self.line}" if self.line else file
        words = f"{found}; {write}." if write else f"{found}."
        return one_line(": ".join(part for part in (place, field, words) if part))

    def at(self, file: str, line: int = 0, path: Path | None = None) -> Problem:
        """The same problem with its place filled in."""
        return replace(self, file=file, line=line, path=self.path if path is None else path)


class Problems(Exception):
    """Everything that is wrong, found in one run. `done` where the work itself was done before it showed."""

    def __init__(self, problems: list[Problem], done: bool = False) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems
        self.done = done

    def said(self, door: Door) -> str:
        """The problems in the words of a door, a line each."""
        return "\n".join(problem.said(door) for problem in self.problems)


class Halted(Exception):
    """Whoever waited for long work asked it to end; nothing half-written is left."""


def refused(
    field: str, found: str, write: str, file: str = "", /, *, code: str = UNTOLD, **values: object
) -> Problems:
    """One thing that is wrong, for which nothing else is looked at: to be raised."""
    return Problems([Problem.of(field, found, write, code, **values).at(file)])


def refuse(problems: Iterable[Problem]) -> None:
    """Raise Problems where there are any."""
    if wrong := list(problems):
        raise Problems(wrong)


def right(found: T | None, problems: Iterable[Problem]) -> T:
    """What was read, where nothing is wrong with it. Raises Problems else."""
    refuse(problems)
    assert found is not None  # whoever finds nothing says why
    return found


class Reading(ValueError):
    """A value that cannot be read. `found` quotes it, `write` says what to write instead; kind and values are those of a problem."""

    def __init__(self, found: str, write: str, code: str = UNTOLD, /, **values: object) -> None:
        super().__init__(f"{found}; {write}")
        self.found = found
        self.write = write
        self.code = code
        self.values = values

    def problem(self, field: str) -> Problem:
        """What is wrong where a field holds such a value."""
        return Problem.of(field, self.found, self.write, self.code, **self.values)


@contextmanager
def noted(problems: list[Problem], field: str, file: str = "") -> Iterator[None]:
    """Reads the value of a field within; one that cannot be read is noted."""
    try:
        yield
    except Reading as wrong:
        problems.append(wrong.problem(field).at(file))


LIKENESS, MOST_NAMES = 0.66, 20


def nearest(name: str, known: Iterable[str]) -> str:
    """Advice that offers the nearest known name, or lists a few."""
    names = list(known)
    close = difflib.get_close_matches(name, names, n=1, cutoff=LIKENESS)
    if close:
        return f'write "{close[0]}"'
    if not names:
        return "write a name that is defined"
    more = f", and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return "write one of: " + ", ".join(names[:MOST_NAMES]) + more


def unknown(field: str, name: str, known: Iterable[str], where: str = "", more: str = "") -> Problem:
    """A name that is not among those known, with `where` they stand and what `more` could be written."""
    names = list(known)
    words = f'found "{name}"{where}'
    return Problem.of(field, words, nearest(name, names) + more, "unknown_name", name=name, known=names)


def one_wanted(given: int) -> str:
    """What was found where exactly one of several ways is wanted."""
    return "found neither" if given == 0 else "found both"
