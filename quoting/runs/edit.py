"""One change to a maker's job or shop file, with every other byte alike; never over what an editor wrote meanwhile."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple, get_args, get_origin

from quoting.advice import Advice
from quoting.errors import Problem, Problems, Reading, refused
from quoting.job.book_cells import SUFFIX
from quoting.job.files import SHOP_FILE, files_of
from quoting.job.form import hint_at, keys_at
from quoting.job.job import Job
from quoting.job.load import load_shop
from quoting.job.read import read
from quoting.job.shop import Shop
from quoting.job.typed import typed
from quoting.job.validate import dotted, no_such, raw_id
from quoting.reading.blocks import with_part, with_part_copied, with_part_moved, without_part
from quoting.reading.scan import At
from quoting.reading.sources import Source, as_read, not_utf8, toml_source
from quoting.reading.splice import Raw, has, toml_value, with_value, within, without
from quoting.runs.as_shown import as_listed, differing, unchanged, unmoved
from quoting.written import rewritten

Edit = Callable[[str, Raw], tuple[str, At]]
"""Gives the text after an edit, and where that stands now; Reading where it cannot be made, Problems where it must not."""


class Edited(NamedTuple):
    """A file after an edit, as it stands now; `at` is where that is which was edited, `problems` are what is wrong in the file, and
    `meanwhile` names what somebody else had changed since it was shown.
    """

    source: Source
    at: At
    problems: tuple[Problem, ...]
    meanwhile: tuple[str, ...]


def change(path: Path, where: At, value: Any, shown: Source, shop: Path | None = None) -> Edited:
    """Put a value, as a maker types it, at a path of section, position and field; None takes the field out. A range with a cause keeps it.

    `shown` is the file as the maker saw it. Raises Changed where the field or its part is not as it was then, Problems for a field that
    does not exist, and for a file that is none of text.
    """
    root = _root(path)

    def edit(text: str, raw: Raw) -> tuple[str, At]:
        if wrong := no_such(root, where, raw):
            raise Problems([wrong])
        head = len(where) < 2 and where != ("format",)
        if head or (isinstance(where[-1], int) and keys_at(root, where)):
            raise Reading("found a section or a part", "name a field of it", "not_a_field")
        meant = None if value is None else typed(root, where, value)
        unmoved(raw, shown.raw, where, meant)
        unchanged(raw, shown.raw, where, meant)
        if meant is None:
            return (without(text, where) if has(raw, where) else text), where
        there = within(raw, where) if has(raw, where) else None
        caused = isinstance(there, dict) and "cause" in there and not isinstance(meant, dict)
        return with_value(text, (*where, "value") if caused else where, toml_value(meant)), where

    return _edited(path, where, shown, shop, edit)


def add_part(
    path: Path, trade: str, values: Mapping[str, Any], shown: Source, shop: Path | None = None
) -> Edited:
    """Add a part after the last of its trade; a field that is left empty is not written. Raises Problems as `change` does."""
    root = _root(path)

    def edit(text: str, raw: Raw) -> tuple[str, At]:
        _refuse_unknown(root, (trade, 0), raw)
        count = len(raw.get(trade, ()))
        for name in values:
            if wrong := no_such(root, (trade, count, name), raw):
                raise Problems([wrong])
        fields = {
            name: typed(root, (trade, 0, name), one) for name, one in values.items() if one not in ("", None)
        }
        return with_part(text, trade, fields), (trade, count)

    return _edited(path, (trade,), shown, shop, edit)


def move_part(path: Path, where: At, to: int, shown: Source, shop: Path | None = None) -> Edited:
    """Let a part stand at another position of its trade. Raises Problems as `change` does."""

    def edit(text: str, raw: Raw) -> tuple[str, At]:
        trade, index = _part(path, where, raw, shown.raw)
        if not 0 <= to < len(raw[trade]):
            most = len(raw[trade])
            raise Reading(f"found no position {to + 1}", f"write one from 1 to {most}", "no_place", most=most)
        return with_part_moved(text, trade, index, to), (trade, to)

    return _edited(path, where, shown, shop, edit)


def remove_part(path: Path, where: At, shown: Source, shop: Path | None = None) -> Edited:
    """Take a part out. Raises Changed where it is not as it was shown, Problems as `change` does."""

    def edit(text: str, raw: Raw) -> tuple[str, At]:
        trade, index = _part(path, where, raw, shown.raw)
        unchanged(raw, shown.raw, where, None)
        return without_part(text, trade, index), (trade,)

    return _edited(path, where, shown, shop, edit)


def copy_part(path: Path, where: At, shown: Source, shop: Path | None = None) -> Edited:
    """Write a part a second time, below the first, with an id of its own where its like have one. Raises Changed where it is not as it was
    shown, Problems as `change` does.
    """
    root = _root(path)

    def edit(text: str, raw: Raw) -> tuple[str, At]:
        trade, index = _part(path, where, raw, shown.raw)
        unchanged(raw, shown.raw, where, None)
        made, at = with_part_copied(text, trade, index), (trade, index + 1)
        if "id" not in keys_at(root, where):
            return made, at
        taken = {raw_id(trade, one) for one in raw[trade]}
        name = raw_id(trade, raw[trade][index])
        free = next(one for i in range(2, len(taken) + 3) if (one := f"{name}-{i}") not in taken)
        return with_value(made, (*at, "id"), toml_value(free)), at

    return _edited(path, where, shown, shop, edit)


def _root(path: Path) -> type:
    """What a file is by its name: the shop, or a job. Raises Problems for a spreadsheet."""
    if path.suffix.lower() == SUFFIX:
        found = "is a spreadsheet, which is not changed from here"
        raise refused("", found, Advice("change_or_convert"), path.name, code="file_kind")
    return Shop if path.name == SHOP_FILE else Job


def _edited(path: Path, where: At, shown: Source, shop: Path | None, edit: Edit) -> Edited:
    """A file with its text edited, read as it stands now."""
    at, after = where, shown
    meanwhile: dict[str, None] = {}

    def make(data: bytes) -> bytes:
        nonlocal at, after, meanwhile
        text, source = _read(path.name, data)
        field = dotted(where, source.raw)
        try:
            new, at = edit(text, source.raw)
            written = new.encode()
        except UnicodeEncodeError:
            wrong = Problem.of(field, "found what is no text", "write plain text", "cannot_hold")
            raise Problems([wrong.at(path.name, 0, where)]) from None
        except Reading as unread:
            raise Problems([unread.problem(field).at(path.name, 0, where)]) from None
        except Problems as told:
            told.problems = [one.at(path.name, one.line) for one in told.problems]
            raise
        after = toml_source(path.name, as_read(new))
        meanwhile = dict.fromkeys(dotted(one, source.raw) for one in differing(shown.raw, source.raw))
        return written

    rewritten(path, make)
    return Edited(after, at, tuple(_problems(path, shop)), tuple(meanwhile))


def _read(name: str, data: bytes) -> tuple[str, Source]:
    """The text of a file, sign by sign, and what it says. Raises Problems where it cannot be edited."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise not_utf8(name, error) from None
    if "\r" in text.replace("\r\n", ""):
        found, wanted = (
            "found line ends of a kind that is not used any more",
            "save it with line ends of today",
        )
        raise refused("", found, wanted, name, code="cannot_change")
    return text, toml_source(name, as_read(text))


def _problems(path: Path, shop: Path | None) -> list[Problem]:
    """Everything that is wrong in a file as it stands now."""
    if _root(path) is Job:
        return read(files_of(path, shop)).problems
    try:
        load_shop(path.parent)
    except Problems as wrong:
        return wrong.problems
    return []


def _refuse_unknown(root: type, where: At, raw: Raw) -> None:
    """Raises Problems for a section that has no parts, Reading for one that is not written in parts."""
    if wrong := no_such(root, where[:1], raw):
        raise Problems([wrong])
    hint = hint_at(root, where[:1])
    if get_origin(hint) is not tuple or not keys_at(root, where) or Ellipsis not in get_args(hint):
        wanted = "name a section of parts, such as hardwood"
        raise Reading("found a section that has no parts", wanted, "no_place", section=where[0])
    if not isinstance(raw.get(str(where[0]), []), list):
        wanted = f"write [[{where[0]}]] above the fields of each part"
        raise Reading("found one table", wanted, "not_a_list", section=where[0])


def _part(path: Path, where: At, raw: Raw, shown: Raw) -> tuple[str, int]:
    """A part that is there and stands where it was shown, among the parts that were shown."""
    _refuse_unknown(_root(path), where, raw)
    match where:
        case (str(trade), int(index)) if 0 <= index < len(shown.get(trade, ())):
            as_listed(raw, shown, trade)
            return trade, index
    raise Reading("found no such part", "name a section and a position in it", "no_place")
