"""What can be wrong with a maker's files, said once and in one form, and the exit statuses."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import TypeVar

T = TypeVar("T")


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


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a maker must put right: where it stands, what was found, what to write."""

    field: str
    found: str
    write: str
    file: str = ""
    line: int = 0

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        words = f"{self.found}; {self.write}." if self.write else f"{self.found}."
        return one_line(": ".join(part for part in (place, self.field, words) if part))

    def at(self, file: str, line: int) -> Problem:
        """The same problem with its place filled in."""
        return replace(self, file=file, line=line)


class Problems(Exception):
    """Everything that is wrong, found in one run. `done` where the work itself was done before it showed."""

    def __init__(self, problems: list[Problem], done: bool = False) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems
        self.done = done


class Halted(Exception):
    """Whoever waited for long work asked it to end; nothing half-written is left."""


def refused(field: str, found: str, write: str, file: str = "") -> Problems:
    """One thing that is wrong, for which nothing else is looked at: to be raised."""
    return Problems([Problem(field, found, write, file)])


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
    """A value that cannot be read. `found` quotes it, `write` says what to write instead."""

    def __init__(self, found: str, write: str) -> None:
        super().__init__(f"{found}; {write}")
        self.found = found
        self.write = write

    def problem(self, field: str, file: str = "", line: int = 0) -> Problem:
        """What is wrong where a field holds such a value."""
        return Problem(field, self.found, self.write, file, line)


@contextmanager
def noted(problems: list[Problem], field: str, file: str = "") -> Iterator[None]:
    """Reads the value of a field within; one that cannot be read is noted."""
    try:
        yield
    except Reading as wrong:
        problems.append(wrong.problem(field, file))


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


def unknown(field: str, name: str, known: Iterable[str], where: str = "") -> Problem:
    """A name that is not among those known, with `where` they stand."""
    return Problem(field, f'found "{name}"{where}', nearest(name, known))


def one_wanted(given: int) -> str:
    """What was found where exactly one of several ways is wanted."""
    return "found neither" if given == 0 else "found both"
