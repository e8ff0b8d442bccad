"""Plans whose trades are gone: what the frozen price says of their parts stands in, so that all else is reckoned as before."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from quoting.costing.model import cost
from quoting.declaration import Trade
from quoting.job.brief import Brief
from quoting.job.shop_rules import counts_nothing
from quoting.pick import likely
from quoting.pricing.record import Priced, PricedLine
from quoting.takeoff.needs import Need
from quoting.trades.gone import parts_of
from quoting.trades.gone.record import Gone
from quoting.trades.registry import missing
from quoting.values import basis

HOURS = ("labour", "machine")
"""Kinds of lines that are priced by the hour."""


def gone_from(*plans: Priced) -> tuple[Trade, ...]:
    """Trades that the files of prices name and that no package brings any more."""
    named = {one.name: one for plan in plans for one in plan.outside}
    return tuple(one for name, one in named.items() if missing(name) is not None)


def lost(plan: Priced) -> tuple[Trade, ...]:
    """Those of them that the price has parts of."""
    return tuple(one for one in gone_from(plan) if one.name in plan.job.parts)


def without_trades(job: str, gone: Iterable[Trade]) -> str:
    """A job file without the parts of trades, and without what its options do to them."""
    import tomlkit

    names = {one.name for one in gone}
    raw: Any = tomlkit.parse(job)
    for name in names & set(raw):
        del raw[name]
    for option in raw.get("option", ()):
        for field, trade_of in (("add", _added), ("drop", _dropped)):
            if field in option:
                option[field] = [one for one in option[field] if trade_of(one) not in names]
        own = option.get("set", {})
        for path in [path for path in own if _dropped(path) in names]:
            del own[path]
    return tomlkit.dumps(raw)


def _added(part: Any) -> str:
    return str(part.get("trade", ""))


def _dropped(name: str) -> str:
    return name.partition(".")[0]


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
    stand_ins = {
        one.name: tuple(Gone(part=_name(part), id=part.id) for part in plan.job.parts[one.name])
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


def _name(part: Any) -> str:
    """What names a part: the house calls it part, a trade of its own perhaps a task or an item."""
    return str(getattr(part, "part", part.id))


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
