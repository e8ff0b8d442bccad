"""The shop of a day past, and the plans that rest on it; of a trade that is gone the frozen lines stand in."""

import csv
import io
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from quoting.costing.model import cost
from quoting.declaration import Trade
from quoting.errors import refused, right
from quoting.job.brief import Brief
from quoting.job.files import PRICE_FILE, SHOP_FILE
from quoting.job.former import file_of_today
from quoting.job.rules import counts_nothing
from quoting.job.starters import WORDING, named_families, safety_notes, starter_values, wording
from quoting.ledger import frozen as files
from quoting.ledger.store import Connection
from quoting.logbook.piece import Piece
from quoting.pick import likely
from quoting.pricing.price import priced
from quoting.pricing.record import Priced, PricedLine
from quoting.reading.sources import read_text
from quoting.runs.keeping import put_job
from quoting.runs.pricing import read_brief
from quoting.takeoff.needs import Need
from quoting.trades.gone import parts_of
from quoting.trades.gone.record import Gone
from quoting.trades.registry import missing
from quoting.values import basis, key

MOVE_PRICES = ("fee", "sundries", "cause")
"""Families of the shop file that move prices of jobs which do not name them: a change calls for none of them newly."""

HOURS = ("labour", "machine")
"""Kinds of lines that are priced by the hour."""


def as_quoted(into: Path, kept: Mapping[str, bytes], folder: Path, gone: Sequence[Trade]) -> Path:
    """Write shop file, price file and words of a quote into a folder. What has a name that the quote did not know is taken
    from the shop as it is now: resins, tariffs, machines, suppliers, species, and items of the price file. Sections of trades that
    are gone are left out.
    """
    shop, prices = folder / SHOP_FILE, folder / PRICE_FILE
    then = with_new_tables(kept[SHOP_FILE].decode(), read_text(shop) if shop.is_file() else "", gone)
    into.joinpath(SHOP_FILE).write_text(then, encoding="utf-8")
    book = kept[PRICE_FILE].decode()
    book = with_new_items(book, read_text(prices)) if prices.is_file() else book
    into.joinpath(PRICE_FILE).write_text(book, encoding="utf-8")
    if WORDING in kept:
        into.joinpath(WORDING).write_bytes(kept[WORDING])
    return into


def with_new_items(then: str, now: str) -> str:
    """A price file, with the rows of items that only the later one has."""
    known = {_item(line) for line in then.splitlines()}
    fresh = [line for line in now.splitlines()[2:] if line.strip() and _item(line) not in known]
    return "\n".join([then.rstrip("\n"), *fresh]) + "\n"


def _item(line: str) -> str:
    cells = next(csv.reader(io.StringIO(line)), [""])
    return key(cells[0]) if cells else ""


def with_new_tables(then: str, now: str, gone: Sequence[Trade]) -> str:
    """A shop file, with the named tables that only the later one has, and without what only trades could read that are gone."""
    import tomlkit

    old: Any = tomlkit.parse(file_of_today(then))
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
        brief = right(*read_brief(job, then, ()))
        if option and option not in [one.name for one in brief.job.option]:
            found = f'found no option "{option}", which was agreed'
            raise refused(
                "option",
                found,
                "keep the [[option]] in the changed job",
                job.name,
                code="unknown_name",
                option=option,
            )
        with_option, problems = read_brief(job, then, (), option)
        words = wording(then, problems)
    brief = right(with_option, problems)
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
        brief = right(*read_brief(path, then, (), _chosen(piece)))
    return with_frozen_lines(brief, piece.plan)


def _chosen(piece: Piece) -> str:
    """The option that was chosen; "" for none."""
    entry = piece.standing.entry
    return entry.item if entry is not None else ""


def gone_from(*plans: Priced) -> tuple[Trade, ...]:
    """Trades that the files of prices name and that no package brings any more."""
    named = {one.name: one for plan in plans for one in plan.outside}
    return tuple(one for name, one in named.items() if missing(name) is not None)


def lost(plan: Priced) -> tuple[Trade, ...]:
    """Those of them that the price has parts of."""
    return tuple(one for one in gone_from(plan) if one.name in plan.job.parts)


def without_trades(job: str, gone: Iterable[Trade]) -> str:
    """A job file without the parts of trades, without what its options do to them, and without what it leaves out of their notes."""
    import tomlkit

    names = {one.name for one in gone}
    raw: Any = tomlkit.parse(job)
    for name in names & set(raw):
        del raw[name]
    if left := raw.get("quote", {}).get("leave_out"):
        raw["quote"]["leave_out"] = [name for name in left if name in safety_notes()]
    for option in raw.get("option", ()):
        if "add" in option:
            option["add"] = [part for part in option["add"] if part.get("trade", "") not in names]
        if "drop" in option:
            option["drop"] = [path for path in option["drop"] if path.partition(".")[0] not in names]
        own = option.get("set", {})
        for path in [path for path in own if path.partition(".")[0] in names]:
            del own[path]
    return tomlkit.dumps(raw)


def drop_unknown(shop: Any, gone: Iterable[Trade]) -> None:
    """Take the sections of trades out of a shop file, and standard times that made no line on any part, in place: older versions
    took them in silence.
    """
    for one in gone:
        for section in one.sections:
            shop.pop(section.name, None)
    standards = shop.get("standard", {})
    for name, table in list(standards.items()):
        if {"per", "applies_to"} <= set(table) and counts_nothing(name, table["per"], table["applies_to"]):
            del standards[name]


def with_frozen_lines(brief: Brief, plan: Priced) -> Brief:
    """A brief with the parts of trades that are gone as their price froze them: each has the lines under its name, the first of all what else
    rests on them.
    """
    # What names a part is called part by the house, by a trade of its own perhaps a task or an item.
    stand_ins = {
        one.name: tuple(
            Gone(part=getattr(part, "part", part.id), id=part.id) for part in plan.job.parts[one.name]
        )
        for one in lost(plan)
    }
    if not stand_ins:
        return brief
    for trade, parts in stand_ins.items():
        brief = replace(brief, job=parts_of(trade).put(brief.job, parts))
    there = {line.id for line in cost(brief, likely).lines}
    names = [f"{trade}.{part.id}" for trade, parts in stand_ins.items() for part in parts]
    lines: dict[str, list[PricedLine]] = defaultdict(list)
    for line in plan.lines:
        if line.id not in there:
            lines[next((name for name in names if line.id.startswith(f"{name}.")), names[0])].append(line)
    for trade, parts in stand_ins.items():
        filled = tuple(
            replace(part, needs=tuple(_need(one, trade, plan) for one in lines[f"{trade}.{part.id}"]))
            for part in parts
        )
        brief = replace(brief, job=parts_of(trade).put(brief.job, filled))
    return brief


def _need(line: PricedLine, trade: str, plan: Priced) -> Need:
    """A frozen line as a need that is priced as it was: by the hour, or at its own price."""
    ordered = next((one for one in plan.buying if one.item == line.item), None)
    hours = line.kind in HOURS
    pace = plan.shop.pace.factor.likely if line.kind == "labour" else 1.0
    return Need(
        id=line.id,
        trade=trade if hours else line.trade,
        part=line.part,
        kind=line.kind,  # type: ignore[arg-type]
        item=line.item,
        amounts={"time": line.quantity / pace} if hours else {"count": line.quantity},
        basis=basis("{words}", words=line.basis),
        stage=line.stage,
        supplied=line.supplied,
        price=None if hours else line.quantity * line.rate,
        unit=(line.unit, 1.0),
        source=line.source,
        operation=line.id.rpartition(".")[2] if line.kind == "labour" else "",
        supplier=ordered.supplier if ordered is not None else "",
        lead_days=ordered.lead_days if ordered is not None else 0.0,
    )
