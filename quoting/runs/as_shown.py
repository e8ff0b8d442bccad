"""Whether a file still says what a maker was shown, where they would change it; what else was changed since."""

from collections.abc import Iterator
from typing import Any

from quoting.errors import Problem, Problems, Reading
from quoting.job.validate import dotted, raw_id
from quoting.reading.readers import shown as as_shown
from quoting.reading.scan import At
from quoting.reading.splice import Raw, has, same, within


class Changed(Problems):
    """Nothing was written: the same was changed by somebody else since it was shown. `theirs` is what the file holds now, `mine` what was
    to be written; None for nothing.
    """

    def __init__(self, problem: Problem, theirs: Any, mine: Any) -> None:
        super().__init__([problem])
        self.theirs, self.mine = theirs, mine


def as_listed(raw: Raw, shown: Raw, section: str) -> None:
    """Raises Changed where the entries of a section are not those that were shown, in that order: by their ids, else by all they say."""
    now, then = (
        [raw_id(section, one) or repr(one) for one in tables.get(section, ())] for tables in (raw, shown)
    )
    if now != then:
        found = f"found {_listed(section, raw)} in the file, where {_listed(section, shown)} was shown"
        again = "look at the file as it is now, and do it again"
        raise Changed(_changed((section,), section, found, again, now, then), now, then)


def _listed(section: str, raw: Raw) -> str:
    """The entries of a section in words."""
    return (
        ", ".join(raw_id(section, one) or str(i) for i, one in enumerate(raw.get(section, ()), 1))
        or "nothing"
    )


def unmoved(raw: Raw, shown: Raw, where: At, mine: Any) -> None:
    """Raises Changed where the entry that a path leads through is not the one that was shown there: another id or, where it has none,
    anything that differs in it. Reading where none was shown.
    """
    for i, step in enumerate(where):
        if not isinstance(step, int):
            continue
        now, then = _both(raw, shown, where[: i + 1])
        if then is None:
            raise Reading("found no such entry", "name a section and a position in it", "no_place")
        alike = i == 1 and raw_id(str(where[0]), now) == raw_id(str(where[0]), then) != ""
        if not alike and not same(now, then):
            found = f"found {_said(now)} in its place, where {_said(then)} was shown"
            wanted = "look at the file as it is now, and write it again"
            raise Changed(_changed(where, dotted(where, raw), found, wanted, now, then), now, mine)


def unchanged(raw: Raw, shown: Raw, where: At, mine: Any) -> None:
    """Raises Changed where a field or a part is not as it was shown."""
    now, then = _both(raw, shown, where)
    if not same(now, then):
        found = f"found {_said(now)} in the file, where {_said(then)} was shown"
        over = "take it out all the same" if mine is None else f"write {_said(mine)} over it"
        wanted = f"{over}, or keep the file's"
        raise Changed(_changed(where, dotted(where, raw), found, wanted, now, then), now, mine)


def _changed(where: At, field: str, found: str, write: str, now: Any, then: Any) -> Problem:
    """What is wrong where a file holds something else `now` than was shown `then`."""
    return Problem.of(field, found, write, "changed", now=now, then=then).at("", 0, where)


def _both(raw: Raw, shown: Raw, where: At) -> tuple[Any, Any]:
    """What stands at a path now, and what stood there; None for nothing."""
    return within(raw, where) if has(raw, where) else None, within(shown, where) if has(
        shown, where
    ) else None


def _said(value: Any) -> str:
    """A value for messages."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        named = (value.get(name) for name in ("id", "part", "task", "item", "what", "name", "value"))
        return next((f'"{one}"' for one in named if isinstance(one, str)), "a table")
    return f'"{value}"' if isinstance(value, str) else as_shown(value)


def differing(then: Any, now: Any, path: At = ()) -> Iterator[At]:
    """Paths of what differs between two files."""
    if isinstance(then, dict) and isinstance(now, dict):
        for name in dict.fromkeys((*then, *now)):
            yield from differing(then.get(name), now.get(name), (*path, name))
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for i, (one, other) in enumerate(zip(then, now, strict=True)):
            yield from differing(one, other, (*path, i))
    elif not same(then, now):
        yield path
