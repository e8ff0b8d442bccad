"""Lines for a terminal: as wide as it is, styled where that can be seen."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap

WIDEST = 100


def width() -> int:
    """Columns to fill: those of the terminal, and no more than read well."""
    return min(shutil.get_terminal_size((WIDEST, 24)).columns, WIDEST)


def styled(text: str, code: str) -> str:
    """Text in a terminal style; plain in a pipe, in a dumb terminal, or where NO_COLOR is set."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb" or not sys.stdout.isatty()
    return text if plain else f"\033[{code}m{text}\033[0m"


def bold(text: str) -> str:
    """A heading."""
    return styled(text, "1")


def dim(text: str) -> str:
    """An aside."""
    return styled(text, "2")


def row(left: str, right: str, style: str = "") -> str:
    """A line with its amount at the right margin; a text too long is cut in the middle, never the amount."""
    room = width() - len(right) - 2
    cut = left if len(left) <= room else left[: room - 1] + "…"
    line = f"{cut:<{room}}  {right}"
    return styled(line, style) if style else line


def whole_row(left: str, right: str, indent: str = "        ") -> str:
    """A line with its amount at the right margin; a text too long goes on below, behind the indent, and none is cut."""
    room = max(width() - len(right) - 2, 20) if right else width()
    lines = textwrap.wrap(
        left, room, subsequent_indent=indent, drop_whitespace=True, replace_whitespace=False
    )
    lead = left[: len(left) - len(left.lstrip())]
    lines = [lead + lines[0].lstrip(), *lines[1:]] if lines else [""]
    lines[0] = f"{lines[0]:<{room}}  {right}".rstrip()
    return "\n".join(lines)


def wrapped(words: str, indent: str) -> str:
    """Words over as many lines as they take, each behind the indent."""
    return textwrap.fill(
        words, width(), initial_indent=indent, subsequent_indent=indent, break_long_words=True
    )
