"""Files to edit: every sample and template, as editors on several systems leave them; what an edit changed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from quoting.job.starters import shipped
from quoting.reading.scan import scan
from quoting.reading.splice import tables_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.reading.scan import At

BOM = "\ufeff"
FILES = sorted(
    [*Path(str(shipped("sample_jobs"))).rglob("*.toml"), *Path(str(shipped("templates"))).glob("[js]*.toml")]
)
"""Jobs and shops of the samples, the starter job and the starter shop."""

NAMES = [f"{path.parent.name}/{path.name}" for path in FILES]


def lf(text: str) -> str:
    return text


def crlf(text: str) -> str:
    return text.replace("\n", "\r\n")


def marked(text: str) -> str:
    """With the mark at its head that some editors write, and no end of the last line."""
    return BOM + text.rstrip("\n")


def mixed(text: str) -> str:
    """Every second line ends as on another system."""
    return "".join(
        line.replace("\n", "\r\n") if i % 2 else line for i, line in enumerate(text.splitlines(True))
    )


WAYS = [lf, crlf, marked, mixed]


def paths(raw: Any, path: At = ()) -> Iterator[At]:
    """Every value of raw tables by its path: not the tables that have a header, but all else down to what stands in lists."""
    if isinstance(raw, dict):
        for name, value in raw.items():
            yield from paths(value, (*path, name))
    elif isinstance(raw, list):
        for i, value in enumerate(raw):
            yield from paths(value, (*path, i))
    if path and not isinstance(raw, dict | list):
        yield path


def shown_fields(text: str) -> Iterator[At]:
    """Fields that a text shows behind a number sign in tables that are there."""
    found, raw = scan(text), tables_of(text)
    for header in found.headers:
        table = header.path
        for at in found.comments:
            start, end = found.body(table)
            if not start <= at < end:
                continue
            if found.shown_header(at):
                break
            line = text[at : found.line(at)[1]].lstrip("#").removeprefix(" e.g. ")
            name = line.partition(" = ")[0]
            if name.isidentifier() and (*table, name) not in [*paths(raw)]:
                yield (*table, name)


def changed(before: str, after: str) -> tuple[str, str]:
    """What was taken out and what was put in, between what both texts begin and end with."""
    head = next(
        (i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b),
        min(len(before), len(after)),
    )
    rest = zip(reversed(before[head:]), reversed(after[head:]), strict=False)
    tail = next((i for i, (a, b) in enumerate(rest) if a != b), min(len(before), len(after)) - head)
    return before[head : len(before) - tail], after[head : len(after) - tail]


def put_at(raw: Any, path: At, value: Any) -> Any:
    """Raw tables with a value at a path, by other means than those under test."""
    if not path:
        return value
    step, *rest = path
    if isinstance(raw, list):
        return [put_at(one, tuple(rest), value) if i == step else one for i, one in enumerate(raw)]
    there = raw if raw is not None else {}
    return {**there, step: put_at(there.get(step), tuple(rest), value)}
