"""Words on a terminal: lines as wide as it is, styled where that can be seen; amounts as a shop says them.

Nothing that a line is made of can steer the terminal: what cannot be seen gets a stand-in.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.advice import worded
from quoting.errors import one_line
from quoting.money import OWN, exact, minor_digits, printed, whole

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

WIDEST = 100


def progress(words: str) -> None:
    """Say what is being done in place of what was said before, where somebody watches; an empty text clears the line."""
    if sys.stderr.isatty() and os.environ.get("TERM") != "dumb":
        sys.stderr.write(f"\r\033[K{words + ' ...' if words else ''}")
        sys.stderr.flush()


def tell(words: str) -> None:
    """Say something beside the answer, where it does not mix with it."""
    progress("")
    print(f"note: {worded(words, 'terminal')}", file=sys.stderr)


@contextmanager
def ended_by_key() -> Iterator[Callable[[], bool]]:
    """While it lasts, the first Ctrl-C asks long work to end, which may ask whether it was pressed; the second one ends the command."""
    presses = 0

    def press(*_: object) -> None:
        nonlocal presses
        presses += 1
        if presses > 1:
            raise KeyboardInterrupt

    before = signal.signal(signal.SIGINT, press)
    try:
        yield lambda: presses > 0
    finally:
        signal.signal(signal.SIGINT, before)


def width() -> int:
    """Columns to fill: those of the terminal, and no more than read well."""
    return min(shutil.get_terminal_size((WIDEST, 24)).columns, WIDEST)


def styled(text: str, code: str) -> str:
    """Text in a terminal style; plain in a pipe, in a dumb terminal, or where NO_COLOR is set."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb" or not sys.stdout.isatty()
    return text if plain else f"\033[{code}m{text}\033[0m"


def bold(words: str) -> str:
    """A heading on one line."""
    return styled(one_line(words), "1")


def dim(text: str) -> str:
    """What matters less."""
    return styled(text, "2")


def row(left: str, right: str, style: str = "") -> str:
    """A line with its amount at the right margin; a text too long is cut in the middle, never the amount."""
    left, room = one_line(left), width() - len(right) - 2
    cut = left if len(left) <= room else left[: room - 1] + "…"
    line = f"{cut:<{room}}  {right}"
    return styled(line, style) if style else line


def whole_row(left: str, right: str, indent: str = "        ") -> str:
    """A line with its amount at the right margin; a text too long goes on below, behind the indent, and none is cut."""
    room = max(width() - len(right) - 2, 20) if right else width()
    left = one_line(left)
    lines = _lines(left, room, rest=indent)
    lead = left[: len(left) - len(left.lstrip())]
    lines = [lead + lines[0].lstrip(), *lines[1:]] if lines else [""]
    lines[0] = f"{lines[0]:<{room}}  {right}".rstrip()
    return "\n".join(lines)


def wrapped(words: str, indent: str = "") -> str:
    """Words over as many lines as they take, each behind the indent."""
    return "\n".join(_lines(one_line(words), width(), indent, indent))


def _lines(words: str, room: int, first: str = "", rest: str = "") -> list[str]:
    """Words broken into lines; a figure and its per cent sign stay together."""
    whole = words.replace(" %", "\u00a0%")
    kept = textwrap.wrap(whole, room, initial_indent=first, subsequent_indent=rest)
    return [line.replace("\u00a0%", " %") for line in kept]


def heading(words: str) -> str:
    """A heading over as many lines as it takes."""
    return styled(wrapped(words), "1")


def aside(words: str, indent: str = "") -> str:
    """An aside over as many lines as it takes."""
    return dim(wrapped(words, indent))


def block(title: str, rows: Iterable[str]) -> str:
    """A heading and its rows; nothing where there are none."""
    lines = list(rows)
    return "\n".join([heading(title), *lines]) if lines else ""


def blocks(*parts: str) -> str:
    """What there is of some blocks, with an empty line between them."""
    return "\n\n".join(part for part in parts if part)


def counted(count: int, one: str, more: str = "") -> str:
    """A number with its noun: 1 line, 2 lines."""
    return f"{count} {one if count == 1 else more or f'{one}s'}"


def money(of: Priced | str, amount: Decimal | float) -> str:
    """An amount to the cent in a currency, or in that of a priced piece; its point is that of all other figures here."""
    currency = of if isinstance(of, str) else of.currency
    cents = amount if isinstance(amount, Decimal) else exact(amount, minor_digits(currency))
    return printed(cents, currency, OWN)


def about(of: Priced | str, amount: float) -> str:
    """An amount of which cents would say too much, in whole units."""
    return whole(amount, of if isinstance(of, str) else of.currency, OWN)
