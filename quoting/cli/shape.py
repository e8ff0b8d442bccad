"""The shape of an answer on the terminal: its figures, then reasons, then the next step; about 24 lines at 80 columns.

Only the first column of the figures is bold, and only warnings are coloured. All else is there with --details.
"""

from __future__ import annotations

import shlex
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quoting.cli.terminal import about, counted, money, row, styled, whole_row, width, wrapped
from quoting.errors import one_line

if TYPE_CHECKING:
    from quoting.pricing.in_brief import Move
    from quoting.pricing.record import Priced, Warned

APART, LEAST_BAR, MOST_BAR = 3, 4, 30  # columns
TOLD = 2
"""Warnings that an answer tells; the others it counts."""

EVERYTHING = "everything: add --details"


class Bar(NamedTuple):
    """A row of where something goes: its name, the size of its bar, its amount in words, and what else stands at the right."""

    name: str
    size: float
    amount: str
    more: str = ""


def answer(title: str, figures: Sequence[tuple[str, str]], *reasons: str) -> str:
    """A title, the figures below it, and reasons apart from them."""
    return "\n\n".join(part for part in ("\n".join([wrapped(title), *_figures(figures)]), *reasons) if part)


def _figures(figures: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Figures with their words: in two columns where they fit, the first half on the left."""
    half = (len(figures) + 1) // 2
    left, right = figures[:half], figures[half:]
    first, second = _room(left), _room(right)
    wide = 2 + first + APART + max((len(words) for _, words in left), default=0)
    needed = second + APART + max((len(words) for _, words in right), default=0)
    if right and wide + APART + needed <= width():
        for i, (figure, words) in enumerate(left):
            line = f"  {styled(f'{figure:>{first}}', '1')}{'':{APART}}{words}"
            if i < len(right):
                line += " " * (width() - needed - (2 + first + APART + len(words)))
                line += f"{right[i][0]:>{second}}{'':{APART}}{right[i][1]}"
            yield line
        return
    room = _room(figures)
    for figure, words in figures:
        lines = textwrap.wrap(words, max(width() - room - APART - 2, 20)) or [""]
        yield f"  {styled(f'{figure:>{room}}', '1')}{'':{APART}}{lines[0]}"
        yield from (" " * (2 + room + APART) + line for line in lines[1:])


def _room(figures: Sequence[tuple[str, str]]) -> int:
    return max((len(figure) for figure, _ in figures), default=0)


def part(title: str, rows: Iterable[str], right: str = "") -> str:
    """A reason: a plain heading, with what stands above the figures at the right, and its rows; nothing where there are none."""
    lines = list(rows)
    head = row(title, right) if right else wrapped(title)
    return "\n".join([head, *lines]) if lines else ""


def bars(rows: Sequence[Bar]) -> Iterator[str]:
    """Rows with bars of #, and of - for what is below nothing, as long as they are large; without bars where there is no room for them."""
    name = max((len(one.name) for one in rows), default=0)
    amount = max((len(one.amount) for one in rows), default=0)
    more = max((len(one.more) for one in rows), default=0)
    room = min(width() - name - amount - more - 8, MOST_BAR)
    most = max((abs(one.size) for one in rows), default=0.0) or 1.0
    for one in rows:
        right = f"{one.amount:>{amount}}  {one.more:>{more}}".rstrip()
        if room < LEAST_BAR:
            yield whole_row(f"  {one.name}", right)
            continue
        sign = "#" if one.size >= 0 else "-"
        bar = sign * max(round(room * abs(one.size) / most), 1 if one.size else 0)
        yield row(f"  {one_line(one.name):<{name}}  {bar}", right)


def moves(priced: Priced, found: Sequence[Move]) -> Iterator[str]:
    """What moves a cost, each over its range."""
    for one in found:
        ends = f"{signed(priced, one.at_low)} to {signed(priced, one.at_high)}"
        yield whole_row(f"  {one.name}  {one.words}", ends)


def signed(of: Priced | str, amount: float) -> str:
    """A difference in whole units of money: with its sign, but for none."""
    size = about(of, abs(amount))
    none = about(of, 0)
    return size if size == none else f"{'+' if amount > 0 else '-'}{size}"


def signed_money(of: Priced | str, amount: Decimal) -> str:
    """A difference to the cent, with its sign, but for none."""
    return f"{'+' if amount > 0 else ''}{money(of, amount)}"


def warned(found: Sequence[Warned]) -> str:
    """How many warnings there are, and the first of them in short, a line each."""
    lead = f"{counted(len(found), 'warning')}  "
    lines = [f"{one.field}: {clause(one.words)}" for one in found[:TOLD]]
    told = [_cut(f"{lead if i == 0 else '':{len(lead)}}{line}") for i, line in enumerate(lines)]
    return styled("\n".join(told), "33") if told else ""


def _cut(line: str) -> str:
    """A line cut at its end: the whole of it is among the details."""
    line = one_line(line)
    return line if len(line) <= width() else f"{line[: width() - 1]}…"


def listed(lead: str, names: Sequence[str]) -> str:
    """Names on one line: as many as there is room for, and how many more there are."""
    for count in range(len(names), 0, -1):
        more = f" and {len(names) - count} more" if count < len(names) else ""
        line = f"{lead}{', '.join(names[:count])}{more}"
        if len(line) <= width():
            break
    return one_line(line) if names else ""


def clause(words: str) -> str:
    """A sentence up to its first pause outside of brackets."""
    depth = 0
    for at, letter in enumerate(words):
        depth += (letter == "(") - (letter == ")")
        if not depth and letter in ":;" and words[at + 1 : at + 2] == " ":
            return words[:at]
    return words


def next_step(arguments: Sequence[str | Path], details: bool) -> str:
    """The command that comes next, as a shell takes it; with `details` how this answer is had in full.

    A line that is too long goes on below, broken as shells allow.
    """
    words = [shlex.quote(one_line(str(one))) for one in arguments]
    line = " ".join(["Next: quoting", *words])
    if len(line) + APART + len(EVERYTHING) <= width() and details:
        return row(line, EVERYTHING)
    return "\n".join([*_broken(["Next: quoting", *words]), *([EVERYTHING] if details else [])])


def _broken(words: Sequence[str]) -> Iterator[str]:
    line = words[0]
    for word in words[1:]:
        if len(line) + len(word) + 3 > width() and len(line) > 2:
            yield f"{line} \\"
            line = f"  {word}"
        else:
            line += f" {word}"
    yield line
