"""One right name that is offered in the place of a wrong one on the command line: Enter takes it, where somebody sits at a terminal."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence

from quoting.cli.terminal import progress
from quoting.errors import Problem, Problems, one_line

OFFERED = re.compile(r'write "([^"]+)"')
ZEROS = re.compile(r"(?<=-)0+(?=\d)")


def confirmed(wrong: Problems, arguments: Sequence[str]) -> list[str]:
    """The arguments with the right name in them, once Enter is pressed; none where no one name is offered, or nobody sits there.

    Only names that were typed on the command line: what is wrong in a file is put right there.
    """
    if len(wrong.problems) != 1 or wrong.done:
        return []
    [problem] = wrong.problems
    offer = OFFERED.fullmatch(problem.write)
    typed = _typed(problem, arguments)
    if problem.file or offer is None or len(typed) != 1:
        return []
    return _asked(problem.said("terminal"), list(arguments), typed[0], offer[1])


def confirmed_option(words: str, name: str, possible: Sequence[str], arguments: Sequence[str]) -> list[str]:
    """The same for the name of an option."""
    typed = [i for i, one in enumerate(arguments) if one.partition("=")[0] == name]
    if len(possible) != 1 or len(typed) != 1:
        return []
    value = arguments[typed[0]][len(name) :]
    return _asked(words, list(arguments), typed[0], possible[0] + value)


def _asked(words: str, arguments: list[str], at: int, name: str) -> list[str]:
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return []
    progress("")
    try:
        sys.stderr.write(f"{one_line(words)}\nEnter takes {one_line(name)}; anything else leaves it: ")
        sys.stderr.flush()
        taken = sys.stdin.readline() == "\n"
    except KeyboardInterrupt:
        taken = False
    if not taken:
        return []
    arguments[at] = name
    return arguments


def _typed(problem: Problem, arguments: Sequence[str]) -> list[int]:
    """Places of the arguments that a problem speaks of: those whose whole text stands in what was found."""
    found = _plain(problem.found)
    names = re.findall(r'"([^"]*)"', found) + found.split()
    return [i for i, one in enumerate(arguments) if _plain(one) in names]


def _plain(text: str) -> str:
    """Text whose numbers of quotes have no leading zeros."""
    return ZEROS.sub("", text.strip().casefold())
