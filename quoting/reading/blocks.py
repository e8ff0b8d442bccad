"""Parts of a job file, each a block of lines that is added, moved, copied or taken out, with every other line alike."""

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import Any, NamedTuple

from quoting.errors import Reading
from quoting.reading.scan import Header, Scan, scan
from quoting.reading.splice import BY_HAND, Raw, inserted, line_end, proven, toml_key, toml_value


class Block(NamedTuple):
    """The lines of a part: from the comment right above its header to its last field, and the lines that show more of its fields."""

    start: int
    end: int


def with_part(text: str, trade: str, fields: Mapping[str, Any]) -> str:
    """A text with one more part, after the last of its trade; else above the lines that show one, or at the end. Raises Reading where
    that cannot be proven.
    """
    found = scan(text)
    rows = [
        f"[[{toml_key(trade)}]]",
        *(f"{toml_key(name)} = {toml_value(one)}" for name, one in fields.items()),
    ]
    there = blocks(found, trade)
    shown = [one for one in found.comments if found.shown_header(one) == (trade,)]
    if there:
        at = there[-1].end
        candidates = [inserted(found, at, line_end(found, at).join(rows), above=True)]
    else:
        lines = line_end(found, len(text)).join(rows)
        candidates = [inserted(found, _head(found, at), lines, below=True) for at in shown[:1]]
        candidates.append(inserted(found, len(text), lines, above=True))

    def change(raw: Raw) -> None:
        raw.setdefault(trade, []).append(dict(fields))

    return proven(text, candidates, change)


def without_part(text: str, trade: str, index: int) -> str:
    """A text without a part and the empty lines that set it off. Raises Reading where that cannot be proven."""
    found = scan(text)
    start, end = _set_off(found, blocks(found, trade)[index])

    def change(raw: Raw) -> None:
        del raw[trade][index]
        if not raw[trade]:
            del raw[trade]

    return proven(text, [text[:start] + text[end:]], change)


def with_part_moved(text: str, trade: str, index: int, to: int) -> str:
    """A text in which the part at `index` stands at position `to` of its trade, lines and comments as they are. Raises Reading where
    that cannot be proven.
    """
    if to == index:
        return text
    found = scan(text)
    there = blocks(found, trade)
    block = there[index]
    lines = text[block.start : block.end].removesuffix("\n").removesuffix("\r")
    start, end = _set_off(found, block)
    at = there[to].start if to < index else there[to].end
    moved = inserted(found, at, lines, above=to > index, below=to < index)
    more = len(moved) - len(text)
    start, end = (start + more, end + more) if to < index else (start, end)
    moved = moved[:start] + moved[end:]

    def change(raw: Raw) -> None:
        raw[trade].insert(to, raw[trade].pop(index))

    return proven(text, [moved], change)


def with_part_copied(text: str, trade: str, index: int) -> str:
    """A text with the fields of a part a second time, right below it; comments on lines of their own are left with the first. Raises
    Reading where that cannot be proven.
    """
    found = scan(text)
    block = blocks(found, trade)[index]
    starts = [one.start for one in found.headers]
    starts += [found.line(one.key)[0] for one in found.entries if not one.inline]
    ends = {found.line(one.key)[0]: found.line(one.end)[1] for one in found.entries if not one.inline}
    kept = sorted(one for one in starts if block.start <= one < block.end)
    lines = "".join(text[one : ends.get(one, found.line(one)[1])] for one in kept)
    lines = lines.removesuffix("\n").removesuffix("\r")

    def change(raw: Raw) -> None:
        raw[trade].insert(index + 1, deepcopy(raw[trade][index]))

    return proven(text, [inserted(found, block.end, lines, above=True)], change)


def blocks(found: Scan, trade: str) -> Sequence[Block]:
    """The parts of a trade in their order. Raises Reading where they are written another way than each in lines of its own."""
    if (trade,) in found.values:
        wanted = f"write [[{trade}]] above each, or {BY_HAND}"
        raise Reading("found its parts in one list", wanted, "cannot_change", section=trade)
    parts: list[Block] = []
    for i, header in enumerate(found.headers):
        if header.path == (trade, len(parts)):
            own = [one for one in found.headers if one.path[:2] == header.path]
            if tuple(own) != found.headers[i : i + len(own)]:
                raise Reading("found it in several places of the file", BY_HAND, "cannot_change")
            parts.append(_block(found, own, i + len(own)))
    return parts


def _block(found: Scan, own: Sequence[Header], following: int) -> Block:
    """The block of some headers; `following` counts the header after it."""
    paths = [one.path for one in own]
    ends = [found.line(one.end)[1] for one in found.entries if one.table in paths and not one.inline]
    end = max([own[-1].end, *ends])
    after = found.headers[following].start if following < len(found.headers) else len(found.text)
    limit = _head(found, after) if following < len(found.headers) else after
    comments = set(found.comments)
    while end < limit and end in comments:
        shown = found.shown_header(end)
        if shown and not (shown[0] == paths[0][0] and len(shown) > 1):
            break
        end = found.line(end)[1]
    return Block(_head(found, own[0].start), end)


def _head(found: Scan, start: int) -> int:
    """Where the comment begins that stands right above a header: words, and no line that shows a field of the table before."""
    comments = set(found.comments)
    while start > found.first:
        above = found.line(start - 1)[0]
        if above not in comments or found.shown_header(above) or found.shows(above):
            break
        start = above
    return start


def _set_off(found: Scan, block: Block) -> tuple[int, int]:
    """A block with the empty lines below it, or with those above it where nothing follows."""
    text = found.text
    rest = text[block.end :]
    bare = rest.lstrip(" \t\r\n")
    if bare:
        below = text.rfind("\n", block.end, len(text) - len(bare)) + 1
        return block.start, max(below, block.end)
    above = len(text[: block.start].rstrip(" \t\r\n"))
    above = text.find("\n", above, block.start) + 1
    return above or block.start, len(text)
