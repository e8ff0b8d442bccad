"""Books that were kept elsewhere: a time sheet or phone notes as CSV, and totals of a piece that was never logged."""

import csv
import hashlib
import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial
from typing import NamedTuple

from quoting.errors import Problem, Problems, Reading, nearest
from quoting.job.job import Actuals
from quoting.job.rules import OWNER
from quoting.ledger.entries import Entry
from quoting.ledger.quotes import Face, Issued, Number, number
from quoting.ledger.states import ACCEPTED, SOLD, Standing
from quoting.logbook.piece import Piece
from quoting.logbook.plan_lines import TRIP, hour_lines, matching, paid_lines
from quoting.logbook.saying import Saying
from quoting.logbook.targets import setback_line
from quoting.money import exact, shared_out, trusted
from quoting.pricing.record import Priced

DAY_SHEET = ("date", "piece", "stage", "hours", "used", "spoiled", "note")
ALSO = (
    "kind", "value", "task", "part", "line", "of", "for", "quantity", "who", "round", "plies", "cost", "receipt", "about",
    "unplanned",
)  # fmt: skip
_PLAIN = ("line", "task", "part", "stage", "quantity", "who", "round", "plies", "hours", "cost", "receipt")
YES, NO = ("yes", "y", "true", "1", "x"), ("", "no", "n", "false", "0")
MOST_ROWS = 20_000


class Row(NamedTuple):
    """A row of the file: its line, the piece it names, what it says, and the key it is known by."""

    line: int
    piece: str
    sayings: tuple[Saying, ...]
    key: str


def rows_of(text: str, piece: str, problems: list[Problem]) -> list[Row]:
    """The rows of a file; `piece` serves rows that name none, `problems` grows by the rows that cannot be read. A row is known by its
    content: the same row in the same file twice is two things, the same file twice adds nothing.

    Raises Problems where the header is wrong, for then no row can be.
    """
    lines = text.lstrip("\ufeff").splitlines()
    start = next((i for i, line in enumerate(lines) if line.strip() and not line.startswith("#")), len(lines))
    if start == len(lines):
        raise Problems([Problem("", "found no rows", f"write a header such as {','.join(DAY_SHEET)}")])
    comma = "," if "," in lines[start] or ";" not in lines[start] else ";"
    header = [name.strip().casefold() for name in next(csv.reader([lines[start]], delimiter=comma))]
    if wrong := list(_header_problems(header, start + 1)):
        raise Problems(wrong)
    rows: list[Row] = []
    seen: Counter[str] = Counter()
    for place, line in enumerate(lines[start + 1 :], start=start + 2):
        if not line.strip(f" \t{comma}") or line.startswith("#"):
            continue
        try:
            cells = next(csv.reader([line], delimiter=comma, strict=True))
            given = _by_name(header, cells)
            sayings = tuple(_sayings(given))
        except (csv.Error, ValueError) as error:
            problems.append(Problem("row", f"found {error}", "write it as the header says", line=place))
            continue
        named = given.pop("piece", "") or piece
        content = json.dumps([_piece_key(named), given], sort_keys=True)
        seen[content] += 1
        key = hashlib.sha256(f"{content}#{seen[content]}".encode()).hexdigest()
        rows.append(Row(place, named, sayings, key))
        if not named:
            problems.append(
                Problem("piece", "found nothing", "write a number such as 2027-014, or shop", line=place)
            )
    if len(rows) > MOST_ROWS:
        raise Problems([Problem("", f"found {len(rows)} rows", f"write files of at most {MOST_ROWS}")])
    return rows


def _header_problems(header: list[str], line: int) -> Iterator[Problem]:
    columns = (*DAY_SHEET, *ALSO)
    for name in header:
        if name not in columns:
            yield Problem("header", f'found the column "{name[:40]}"', nearest(name, columns), line=line)
    for name, count in Counter(header).items():
        if count > 1:
            yield Problem("header", f'found the column "{name}" twice', "write it once", line=line)
    if "date" not in header:
        yield Problem("header", "found no column date", f"write {','.join(DAY_SHEET)}", line=line)


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
    for column, used in (("used", "used"), ("spoiled", "wasted")):
        things = [thing.strip() for thing in given.get(column, "").split(";")]
        thing_base = replace(base, of="", task="", line="", hours="")
        found += [replace(thing_base, kind=used, value=thing) for thing in things if thing]
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


def _flag(cell: str) -> bool:
    if cell.casefold() not in (*YES, *NO):
        raise ValueError(f'"{cell[:20]}", where yes or nothing belongs')
    return cell.casefold() in YES


def coarse_piece(plan: Priced, actuals: Actuals, today: date) -> Piece:
    """The piece that totals tell of; what they leave out is not recorded. A price that is left out is the one quoted."""
    day = actuals.finished or today
    held = [replace(one, id=place) for place, one in enumerate(_entries(plan, actuals, day), start=2)]
    paid = exact(trusted(actuals.price), plan.digits) if actuals.price is not None else None
    deal = ACCEPTED if paid is None else SOLD
    made = Entry(kind="state", day=day, said=deal, money=paid, digits=plan.digits, id=1)
    piece = plan.job.piece
    face = Face(
        plan.day, plan.day, piece.title, plan.job.client.name, piece.basis, plan.currency, plan.digits, plan.chain.total
    )  # fmt: skip
    issued = Issued(0, 0, Number(plan.day.year, 0), face, {}, "")
    return Piece(
        quotes=(issued,), quote=issued, sold=plan, plan=plan, former=(), changes=(), entries=(made, *held),
        holding=(made, *held), standing=Standing(deal, day, None, made, built=True, delivered=True),
    )  # fmt: skip


def actuals_problems(plan: Priced, actuals: Actuals) -> Iterator[Problem]:
    """Stages and trades that the job does not have, and setbacks that cost nothing."""
    stages = {line.stage for line in hour_lines(plan.lines)}
    for stage in actuals.hours:
        if stage not in stages:
            yield Problem(
                f"hours.{stage}", "found no hours of this stage in the job", nearest(stage, sorted(stages))
            )
    trades = list(dict.fromkeys(line.trade for line in paid_lines(plan.lines)))
    for trade in actuals.receipts:
        if trade not in trades:
            yield Problem(
                f"receipts.{trade}", "found nothing of this trade in the job", nearest(trade, trades)
            )
    for place, one in enumerate(actuals.setbacks, start=1):
        if not one.hours and not one.cost:
            yield Problem(f"setbacks.{place}", "found neither hours nor cost", "write hours, cost, or both")


def _entries(plan: Priced, actuals: Actuals, day: date) -> Iterator[Entry]:
    digits, made = plan.digits, partial(Entry, day=day, digits=plan.digits)
    for stage, hours in actuals.hours.items():
        if hours > 0:
            yield made(kind="hours", stage=stage, amount=hours, unit="h", who=OWNER, about=True)
            continue
        nobody = (line.id for line in hour_lines(plan.lines) if line.stage == stage)
        yield from (made(kind="done", line=id) for id in nobody)
    for trade, money in actuals.receipts.items():
        yield from _receipts(plan, trade, exact(trusted(money), digits), day)
    for trip in actuals.trips:
        line = TRIP if matching(plan.lines, line=TRIP) else ""
        item = "" if line else "trip"
        yield made(
            kind="trip", line=line, item=item, amount=trip.distance, unit="m", hours=trip.hours, who=OWNER
        )
    for one in actuals.setbacks:
        money_lost = None if one.cost is None else exact(trusted(one.cost), digits)
        line = setback_line(plan.lines, one.what)
        yield made(kind="setback", line=line, hours=one.hours, money=money_lost, who=OWNER, said=one.what)


def _receipts(plan: Priced, trade: str, paid: Decimal, day: date) -> Iterator[Entry]:
    """Money of a trade over its lines, by what was planned for each."""
    lines = [line for line in plan.lines if line.trade == trade and line.supplied == "bought"]
    weights = [line.amount for line in lines]
    if not any(weights):
        weights = [Decimal(1)] * len(lines)
    for line, part in zip(lines, shared_out(paid, weights, plan.digits), strict=True):
        if not part:  # nothing was paid for it, which is not "not recorded"
            yield Entry(kind="done", day=day, line=line.id, digits=plan.digits)
        else:
            yield Entry(kind="paid", day=day, line=line.id, money=part, digits=plan.digits)
