"""The shop of a day past, and the plans that rest on it: of a piece as its quote froze it, and of a changed job."""

import csv
import io
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from quoting.declaration import Trade
from quoting.errors import Problem, Problems, refused
from quoting.job.brief import Brief
from quoting.job.load import PRICE_FILE, SHOP_FILE
from quoting.job.starters import named_families, starter_values
from quoting.job.wording import WORDING, wording
from quoting.ledger import frozen as files
from quoting.ledger.store import Connection
from quoting.logbook.piece import Piece
from quoting.pricing.price import priced
from quoting.pricing.record import Priced
from quoting.reading.sources import read_text
from quoting.runs.issuing import put_job
from quoting.runs.of_gone_trades import drop_unknown, gone_from, with_frozen_lines, without_trades
from quoting.runs.pricing import read_brief
from quoting.values import key

MOVE_PRICES = ("fee", "sundries", "cause")
"""Families of the shop file that move prices of jobs which do not name them: a change calls for none of them newly."""


def as_quoted(into: Path, kept: Mapping[str, bytes], folder: Path, gone: Sequence[Trade]) -> Path:
    """Write shop file, price book and words of a quote into a folder. What has a name that the quote did not know is taken
    from the shop as it is now: resins, tariffs, machines, suppliers, species, and items of the price book. Sections of trades that
    are gone are left out.
    """
    shop, prices = folder / SHOP_FILE, folder / PRICE_FILE
    then = with_new_tables(kept[SHOP_FILE].decode(), read_text(shop) if shop.is_file() else "", gone)
    into.joinpath(SHOP_FILE).write_text(then, encoding="utf-8")
    book = kept[PRICE_FILE].decode()
    into.joinpath(PRICE_FILE).write_text(
        with_new_items(book, read_text(prices)) if prices.is_file() else book, encoding="utf-8"
    )
    if WORDING in kept:
        into.joinpath(WORDING).write_bytes(kept[WORDING])
    return into


def with_new_items(then: str, now: str) -> str:
    """A price book, with the rows of items that only the later one has."""
    known = {_item(line) for line in then.splitlines()}
    fresh = [line for line in now.splitlines()[2:] if line.strip() and _item(line) not in known]
    return "\n".join([then.rstrip("\n"), *fresh]) + "\n"


def _item(line: str) -> str:
    cells = next(csv.reader(io.StringIO(line)), [""])
    return key(cells[0]) if cells else ""


def with_new_tables(then: str, now: str, gone: Sequence[Trade]) -> str:
    """A shop file, with the named tables that only the later one has, and without what only trades could read that are gone."""
    import tomlkit

    old: Any = tomlkit.parse(then)
    new: Any = tomlkit.parse(now)
    for family in (one for one in named_families() if one not in MOVE_PRICES):
        known = old.setdefault(family, tomlkit.table(is_super_table=True)) if family in new else {}
        for name, table in new.get(family, {}).items():
            if name not in known:
                table.pop("waste", None)  # of a species: it would move a price that was quoted without it
                known[name] = table
    drop_unknown(old, gone)
    return tomlkit.dumps(old)


def changed_plan(book: Connection, folder: Path, piece: Piece, job: Path) -> tuple[Priced, Brief]:
    """The changed job, priced for the day of the quote at its shop and prices; with the option that was chosen. And its brief."""
    kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
    with tempfile.TemporaryDirectory() as made:
        then, option = as_quoted(Path(made), kept, folder, gone_from(piece.sold, piece.plan)), _chosen(piece)
        brief = _sound(*read_brief(job, then, ()))
        if option and option not in [one.name for one in brief.job.option]:
            found = f'found no option "{option}", which was accepted'
            raise refused("option", found, "keep the [[option]] in the changed job", job.name)
        with_option, problems = read_brief(job, then, (), option)
        words = wording(then, problems)
    brief = _sound(with_option, problems)
    day = piece.quote.face.day
    brief = replace(brief, job=replace(brief.job, quote=replace(brief.job.quote, date=day)))
    plan = priced(brief, day, words, starter_values(brief.sources[1].raw, brief.job))
    return replace(plan, number=str(piece.number)), brief


def brief_of(book: Connection, piece: Piece, folder: Path) -> Brief:
    """The brief of the plan in force, with the option that was chosen; parts whose trade is gone stand in it as they were frozen.
    Raises Problems where it cannot be read any more.
    """
    kept = files.kept(book, "quote_file", piece.quote.id, files.SOURCE)
    job = kept
    if piece.changes:
        job = files.kept(book, "change_file", piece.changes[-1].entry.id, files.SOURCE)
    gone = gone_from(piece.sold, piece.plan)
    with tempfile.TemporaryDirectory() as made:
        then = as_quoted(Path(made), kept, folder, gone)
        path = put_job(job, then)
        if gone:
            path.write_text(without_trades(path.read_text(encoding="utf-8"), gone), encoding="utf-8")
        brief = _sound(*read_brief(path, then, (), _chosen(piece)))
    return with_frozen_lines(brief, piece.plan)


def _chosen(piece: Piece) -> str:
    """The option that was chosen; "" for none."""
    entry = piece.standing.entry
    return entry.item if entry is not None else ""


def _sound(brief: Brief | None, problems: list[Problem]) -> Brief:
    if brief is None or problems:
        raise Problems(problems)
    return brief
