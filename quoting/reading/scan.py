"""Where keys, values, tables and comments stand in a TOML text that `tomllib` reads: for edits that leave every other sign alike."""

import re
import tomllib
from collections.abc import Iterator
from typing import NamedTuple

At = tuple[str | int, ...]
"""A path of keys and positions."""

BOM = "\ufeff"
_BLANK = re.compile(r"[ \t]*")
_ANY_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_SCALAR = re.compile(
    r'"""(?:[^"\\]|\\.|"{1,2}(?!"))*"{3,5}'
    r"|'''(?:[^']|'{1,2}(?!'))*'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\d{4}-\d\d-\d\d \d\d:[^\s,\]}#]*"
    r"|[^\s,\[\]{}#=\"']+",
    re.DOTALL,
)
_SHOWN_HEADER = re.compile(r"#[ \t]*\[\[?[ \t]*(?=[A-Za-z\"'])")

_SHOWN_FIELD = re.compile(r"#(?: e\.g\. )?[A-Za-z0-9_\".-]+[ \t]*=")


class Entry(NamedTuple):
    """A key with its value. `table` is the table in whose body it stands, `key` and `value` are where those begin, `end` is where the
    value ends; `inline` where it stands between braces.
    """

    path: At
    table: At
    key: int
    value: int
    end: int
    inline: bool


class Header(NamedTuple):
    """A line `[table]`, or `[[table]]` where it is one of `many`: its table, and the line from `start` to `end`."""

    path: At
    many: bool
    start: int
    end: int


class Shown(NamedTuple):
    """A line that shows a field behind a number sign, as in `#waste = "15 %"`: where the sign is, key and value."""

    sign: int
    key: int
    value: int
    end: int


class Scan(NamedTuple):
    """A text and where things stand in it: headers, entries, every value by its path, and lines that hold nothing but a comment."""

    text: str
    headers: tuple[Header, ...]
    entries: tuple[Entry, ...]
    values: dict[At, tuple[int, int]]
    comments: tuple[int, ...]

    @property
    def first(self) -> int:
        """Where the text begins, behind the mark that some editors put first."""
        return len(BOM) if self.text.startswith(BOM) else 0

    def line(self, at: int) -> tuple[int, int]:
        """The line that a place is on, its end included."""
        end = self.text.find("\n", at) + 1
        return max(self.text.rfind("\n", 0, at) + 1, self.first), end or len(self.text)

    def header(self, table: At) -> Header | None:
        """The header of a table; None where it has none."""
        return next((one for one in self.headers if one.path == table), None)

    def body(self, table: At) -> tuple[int, int]:
        """From below the header of a table, or from the beginning of the file, to the next header."""
        above = self.header(table)
        start = above.end if above is not None else self.first
        return start, next((one.start for one in self.headers if one.start >= start), len(self.text))

    def fields(self, table: At) -> list[Entry]:
        """The entries that stand below a header, or above the first one."""
        return [one for one in self.entries if one.table == table and not one.inline]

    def shown(self, start: int, end: int, name: str) -> Iterator[Shown]:
        """Lines that show a field of a table, up to the next header that is shown like this itself."""
        mark = re.compile(rf"(#(?: e\.g\. )?)({re.escape(name)}|\"{re.escape(name)}\")[ \t]*=[ \t]*")
        for at in (one for one in self.comments if start <= one < end):
            if self.shown_header(at):
                return
            if (found := mark.match(self.text, _over(_BLANK, self.text, at))) is None:
                continue
            value = _SCALAR.match(self.text, found.end()) or _BRACKETED.match(self.text, found.end())
            if value is not None and _ends(self.text, value.end()):
                yield Shown(found.start(), found.start(2), found.end(), value.end())

    def shows(self, at: int) -> bool:
        """True of a line that shows a field behind a number sign."""
        return _SHOWN_FIELD.match(self.text, _over(_BLANK, self.text, at)) is not None

    def shown_header(self, at: int) -> At:
        """The table of a line that shows a header behind a number sign; nothing of another line."""
        at = _over(_BLANK, self.text, at)
        found = _SHOWN_HEADER.match(self.text, at)
        return _keys(self.text, found.end())[0] if found else ()


def scan(text: str) -> Scan:
    """Where things stand in a text. It must be one that `tomllib` reads: nothing is checked here."""
    return _Scanner(text).scanned()


def _over(pattern: re.Pattern[str], text: str, at: int) -> int:
    """Past what a pattern matches, which may be nothing."""
    found = pattern.match(text, at)
    return found.end() if found else at


def _ends(text: str, at: int) -> bool:
    """True where nothing but a comment stands on the rest of a line."""
    at = _over(_BLANK, text, at)
    return text[at : at + 1] in ("", "\n", "\r", "#")


_BRACKETED = re.compile(r"""[\[{](?:[^"'#\n]|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')*[\]}]""")
"""A list or a table between braces on one line."""


def _keys(text: str, at: int) -> tuple[At, int]:
    """A dotted key, and where it ends."""
    found: list[str] = []
    while True:
        at = _over(_BLANK, text, at)
        key = _KEY.match(text, at)
        if key is None:
            return tuple(found), at
        found.append(tomllib.loads(f"key = {key[0]}")["key"] if key[0][0] in "\"'" else key[0])
        at = _over(_BLANK, text, key.end())
        if text[at : at + 1] != ".":
            return tuple(found), at
        at += 1


class _Scanner:
    """Walks through a text once."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.headers: list[Header] = []
        self.entries: list[Entry] = []
        self.values: dict[At, tuple[int, int]] = {}
        self.comments: list[int] = []
        self.counts: dict[At, int] = {}

    def scanned(self) -> Scan:
        at = len(BOM) if self.text.startswith(BOM) else 0
        table: At = ()
        while at < len(self.text):
            start, at = at, _over(_BLANK, self.text, at)
            sign = self.text[at : at + 1]
            if sign == "#":
                self.comments.append(start)
            elif sign == "[":
                table = self.header(start, at)
            elif sign not in ("", "\r", "\n"):
                at = self.entry(table, at, inline=False)
            at = self.text.find("\n", at) + 1 or len(self.text)
        return Scan(self.text, tuple(self.headers), tuple(self.entries), self.values, tuple(self.comments))

    def header(self, start: int, at: int) -> At:
        many = self.text[at + 1] == "["
        keys, _ = _keys(self.text, at + 1 + many)
        path: At = ()
        for key in keys[:-1]:
            path = (*path, key)
            path = (*path, self.counts[path] - 1) if path in self.counts else path
        path = (*path, keys[-1])
        if many:
            self.counts[path] = self.counts.get(path, 0) + 1
            path = (*path, self.counts[path] - 1)
        end = self.text.find("\n", at) + 1 or len(self.text)
        self.headers.append(Header(path, many, start, end))
        return path

    def entry(self, table: At, at: int, inline: bool) -> int:
        keys, equals = _keys(self.text, at)
        value = _over(_BLANK, self.text, equals + 1)
        path = (*table, *keys)
        place = len(self.entries)
        end = self.value(path, value)
        self.entries.insert(place, Entry(path, table, at, value, end, inline))
        return end

    def value(self, path: At, at: int) -> int:
        """Note a value and all within it; gives where it ends."""
        if self.text[at] in "[{":
            end = (self.array if self.text[at] == "[" else self.table)(path, at + 1)
        else:
            end = _over(_SCALAR, self.text, at)
        self.values[path] = at, end
        return end

    def array(self, path: At, at: int) -> int:
        count = 0
        while self.text[at := _over(_ANY_BLANK, self.text, at)] != "]":
            at = self.value((*path, count), at)
            at = self.next(at)
            count += 1
        return at + 1

    def table(self, path: At, at: int) -> int:
        while self.text[at := _over(_ANY_BLANK, self.text, at)] != "}":
            at = self.entry(path, at, inline=True)
            at = self.next(at)
        return at + 1

    def next(self, at: int) -> int:
        at = _over(_ANY_BLANK, self.text, at)
        return at + 1 if self.text[at] == "," else at
