"""A day sheet or phone notes as CSV: a row is a day's work on a piece, or one thing that happened."""

import csv
import hashlib
import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from quoting.errors import Problem, Problems, Reading, nearest
from quoting.ledger.quotes import number
from quoting.ledger.words import to_store
from quoting.logbook.saying import Saying

DAY_SHEET = ("date", "piece", "stage", "hours", "used", "spoiled", "note")
ALSO = (
    "kind", "value", "task", "part", "line", "of", "for", "quantity", "who", "round", "plies", "cost", "receipt", "about",
    "unplanned",
)  # fmt: skip
_PLAIN = ("line", "task", "part", "stage", "quantity", "who", "round", "plies", "hours", "cost", "receipt")
YES, NO = ("yes", "y", "true", "1", "x"), ("", "no", "n", "false", "0")
MOST_ROWS = 20_000
PLAIN_NUMBER = re.compile(r"[0-9]*\.?[0-9]+")


class Row(NamedTuple):
    """A row of the file: its line, the piece it names, what it says, and the key it is known by; `former` is the key that its cells give
    as they are written, by which earlier versions knew it.
    """

    line: int
    piece: str
    sayings: tuple[Saying, ...]
    key: str
    former: str


def rows_of(text: str, piece: str, problems: list[Problem]) -> list[Row]:
    """The rows of a file; `piece` serves rows that name none, `problems` grows by the rows that cannot be read. A row is known by its
    content and by how many rows above it have the same one: the same row in a file twice is two things, the same file twice
    adds nothing, wherever rows were put in between. Zeros that a spreadsheet drops from a number as it saves are no content.

    Raises Problems where the header is wrong, for then no row can be.
    """
    lines = text.lstrip("\ufeff").splitlines()
    start = next((i for i, line in enumerate(lines) if line.strip() and not line.startswith("#")), len(lines))
    if start == len(lines):
        raise Problems(
            [
                Problem.of(
                    "",
                    "found no rows",
                    f"write a header such as {','.join(DAY_SHEET)}",
                    "layout",
                    columns=DAY_SHEET,
                )
            ]
        )
    comma = "," if "," in lines[start] or ";" not in lines[start] else ";"
    header = [name.strip().casefold() for name in next(csv.reader([lines[start]], delimiter=comma))]
    if wrong := list(_header_problems(header, start + 1)):
        raise Problems(wrong)
    rows: list[Row] = []
    seen, written = Counter[str](), Counter[str]()
    for place, line in enumerate(lines[start + 1 :], start=start + 2):
        if not line.strip(f" \t{comma}") or line.startswith("#"):
            continue
        try:
            cells = next(csv.reader([line], delimiter=comma, strict=True))
            given = _by_name(header, cells)
            sayings = tuple(_sayings(given))
        except (csv.Error, ValueError) as error:
            problems.append(
                Problem.of("row", f"found {error}", "write it as the header says", "layout", reason=error).at(
                    "", place
                )
            )
            continue
        named = given.pop("piece", "") or piece
        same = {name: _without_idle_zeros(cell) for name, cell in given.items()}
        key, former = (
            _known_by(_piece_key(named), cells, count) for cells, count in ((same, seen), (given, written))
        )
        rows.append(Row(place, named, sayings, key, former))
        if not named:
            problems.append(
                Problem.of(
                    "piece", "found nothing", "write a number such as 2027-014, or shop", "missing"
                ).at("", place)
            )
    if len(rows) > MOST_ROWS:
        raise Problems(
            [
                Problem.of(
                    "",
                    f"found {len(rows)} rows",
                    f"write files of at most {MOST_ROWS}",
                    "too_many",
                    count=len(rows),
                    most=MOST_ROWS,
                )
            ]
        )
    return rows


def _known_by(piece: str, cells: dict[str, str], seen: Counter[str]) -> str:
    """The key of a row; `seen` counts those of the same content."""
    content = json.dumps([piece, _as_keyed(cells)], sort_keys=True)
    seen[content] += 1
    return hashlib.sha256(f"{content}#{seen[content]}".encode()).hexdigest()


def _without_idle_zeros(cell: str) -> str:
    return f"{Decimal(cell).normalize():f}" if PLAIN_NUMBER.fullmatch(cell) else cell


def _header_problems(header: list[str], line: int) -> Iterator[Problem]:
    columns = (*DAY_SHEET, *ALSO)
    for name in header:
        if name not in columns:
            yield Problem.of(
                "header",
                f'found the column "{name[:40]}"',
                nearest(name, columns),
                "unknown_name",
                name=name[:40],
            ).at("", line)
    for name, count in Counter(header).items():
        if count > 1:
            yield Problem.of(
                "header", f'found the column "{name}" twice', "write it once", "twice", name=name
            ).at("", line)
    if "date" not in header:
        yield Problem.of(
            "header", "found no column date", f"write {','.join(DAY_SHEET)}", "layout", columns=DAY_SHEET
        ).at("", line)


def _by_name(header: list[str], cells: list[str]) -> dict[str, str]:
    """Filled cells by column. ValueError where there are more cells than columns."""
    if len(cells) > len(header):
        raise ValueError(f"{len(cells)} cells for {len(header)} columns; text with commas stands in quotes")
    pairs = zip(header, (" ".join(cell.split()) for cell in cells), strict=False)
    return {name: cell for name, cell in pairs if cell}


def _sayings(given: dict[str, str]) -> Iterator[Saying]:
    """What a row says, one after another: its kind and value, or hours, things used, things spoiled; a note alone."""
    base = Saying(
        kind="",
        on=_day(given.get("date", "")),
        about=_flag(given.get("about", "")),
        unplanned=_flag(given.get("unplanned", "")),
        words=given.get("note", ""),
        of=given.get("of", "") or given.get("for", ""),
        **{name: given.get(name, "") for name in _PLAIN},
    )
    found: list[Saying] = []
    if kind := given.get("kind", "").casefold():
        fallback = given.get("hours", "") if kind in ("hours", "machine") else ""
        found.append(replace(base, kind=kind, value=given.get("value", "") or fallback))
    elif given.get("hours"):
        found.append(replace(base, kind="hours", value=given["hours"], hours=""))
    for column in ("used", "spoiled"):
        things = [thing.strip() for thing in given.get(column, "").split(";")]
        thing_base = replace(base, of="", task="", line="", hours="")
        found += [replace(thing_base, kind=column, value=thing) for thing in things if thing]
    if not found and base.words:
        found.append(replace(base, kind="note", value=base.words, words=""))
    if not found:
        raise ValueError("nothing to log")
    yield found[0]
    yield from (replace(one, words="") for one in found[1:])


def _piece_key(named: str) -> str:
    """A piece however its number is written: all its revisions are one."""
    try:
        return str(number(named).piece)
    except Reading:
        return named.casefold()


def _day(cell: str) -> str:
    """A day of a file: "today" means another one tomorrow, and the same row would no longer be known."""
    if not cell:
        raise ValueError("no date")
    if cell.casefold() in ("today", "yesterday"):
        raise ValueError(f'"{cell}", where a day such as 2027-03-01 belongs')
    return cell


def _as_keyed(given: dict[str, str]) -> dict[str, str]:
    """What a row is known by: its kind as ledgers have always held it, else a row that is there already would come in again."""
    kind = given.get("kind", "")
    return {**given, "kind": to_store(kind, "")[0]} if kind else given


def _flag(cell: str) -> bool:
    if cell.casefold() not in (*YES, *NO):
        raise ValueError(f'"{cell[:20]}", where yes or nothing belongs')
    return cell.casefold() in YES
