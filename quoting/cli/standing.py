"""The command that says where a piece in its build stands, and how it will end."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.happened import standing_data
from quoting.cli.app import (
    Answer,
    Details,
    Draws,
    Folder,
    Json,
    Number,
    Seed,
    arg,
    command,
    here,
    same,
    this_day,
)
from quoting.cli.risk import EIGHT, ENDS, LEVELS, MIDDLE, bands, chance_said, named
from quoting.cli.shape import answer, part
from quoting.cli.standing_panels import laminates, margin_said, verdicts
from quoting.cli.terminal import about, block, blocks, counted, dim, heading, money, row, wrapped
from quoting.measures.showing import hours_said, per_cent

if TYPE_CHECKING:
    from quoting.forecast.forecast import Forecast
    from quoting.pricing.record import Priced
    from quoting.runs.builds import Stands

MOST_DRIVERS, MOST_LESSONS, MOST_TASKS, MOST_TOLD = 8, 10, 10, 3


@command("drawing")
def standing(
    number: Number,
    on: Annotated[str, arg("--on", "As it stood at the end of that day [default: today].", "DAY")] = "",
    shop: Folder = None,
    draws: Draws = None,
    seed: Seed = None,
    details: Details = False,
    as_json: Json = False,
) -> Answer:
    """Say where a piece in its build stands, and how it will end.

    Plies and rounds still needed, cost and day in the end, margin against quoted, one more round or not, what to buy now.
    """
    from quoting.runs.builds import standing as recipe

    found = recipe(here(shop), this_day(), number, on, draws, seed)
    said = (standing_data if as_json else _text if details else _answer)(found)
    return Answer(said, next=("daysheet", *same(shop)), brief=not details)


def _answer(found: Stands) -> str:
    """How it will end, against what was planned and quoted; what to decide, to buy now and to do."""
    piece, now = found.piece, found.standing
    margin = (
        []
        if now.margins[MIDDLE] is None
        else [(margin_said(now.margins[MIDDLE]), f"margin now, {per_cent(now.quoted)} quoted")]
    )
    figures = [
        (about(piece.plan, now.cost[MIDDLE].value), "cost in the end, in the middle"),
        (about(piece.plan, now.planned_cost), "planned"),
        (about(piece.plan, now.spent), "cost so far"),
        *margin,
        (hours_said(now.to_go.labour_h[MIDDLE].value), "still to work"),
        (_done_by(found, MIDDLE).isoformat(), f"done, by {_done_by(found, EIGHT).isoformat()} in 8 of 10"),
    ]  # fmt: skip
    decided = [wrapped(f"{one}: {words}", "  ") for one, words in verdicts(found)]
    soon = [one for one in now.buying if one.order_by <= found.day]
    buying, tasks = list(_buying(found))[:MOST_TOLD], list(_tasks(now))[:MOST_TOLD]
    return answer(
        _title(found),
        figures,
        "\n".join(wrapped(note) for note in found.notes),
        part("To decide", decided),
        part(f"To buy, {counted(len(soon), 'thing')} of {len(now.buying)} now", buying),
        part("Most hours still to come", tasks),
    )  # fmt: skip


def _title(found: Stands) -> str:
    piece = found.piece
    return f"How {piece.number} {piece.quote.face.title} stands on {found.day.isoformat()}: {piece.standing.words}"


def _done_by(found: Stands, level: int) -> date:
    """The day by which it can be done, at a level of what can be."""
    return found.day + timedelta(days=ceil(found.standing.to_go.days[level].value - 1e-9))


def _text(found: Stands) -> str:
    """All that is known of a piece in its build, in blocks."""
    piece, now = found.piece, found.standing
    drawn = f"{now.draws:,} builds drawn with seed {now.seed}, in {piece.plan.currency}"
    drivers = (row(named(one.name, one.words), per_cent(one.share, 0)) for one in now.drivers[:MOST_DRIVERS])
    tasks = "Hours to come by task, in the middle (mark what is finished: quoting log NUMBER done TASK)"
    earned = "Earned value: the work done at the plan's cost, beside what it cost"
    learnt = "What the log has taught: the middle and how far it may be off, before -> now"
    return blocks(
        "\n".join([heading(_title(found)), drawn, *(wrapped(note) for note in found.notes)]),
        block("What it will have cost in the end", _cost(piece.plan, now)),
        block("Margin now against quoted", _margin(piece.plan, now)),
        block("Still to come: in 8 of 10 builds between, and in the middle", _to_go(found)),
        block(tasks, _tasks(now)),
        *laminates(found),
        block("To buy: what 8 in 10 builds still need, the most urgent first", _buying(found)),
        block(learnt, _lessons(found)),
        block("What drives the cost from here: share of what is still unsure", drivers),
        block(earned, _earned(piece.plan, now)),
    )


def _cost(plan: Priced, now: Forecast) -> Iterator[str]:
    for words, one in zip(LEVELS, now.cost, strict=True):
        yield row(f"  {words} builds cost less than", about(plan, one.value))
    yield row("  the plan, without its reserve", about(plan, now.planned_cost))
    yield row("  cost so far", about(plan, now.spent))


def _margin(plan: Priced, now: Forecast) -> Iterator[str]:
    net, fees = now.contract.net, now.contract.fees
    name = "price agreed" if now.contract.firm else "price asked"
    yield row(f"  {name}, net, less fees {money(plan, fees)}", money(plan, net))
    yield row("  quoted, the reserve counted as cost", per_cent(now.quoted))
    if now.planned is not None:
        yield row("  by the plan, the reserve untouched", per_cent(now.planned))
        yield row("  now, in the middle", margin_said(now.margins[MIDDLE]), "1")
        yield row("  now, where 8 in 10 builds do better", margin_said(now.margins[EIGHT]))
    if now.loses is not None:
        yield row("  it loses money in", chance_said(now.loses))


def _to_go(found: Stands) -> Iterator[str]:
    ahead = found.standing.to_go
    yield from bands(("labour", ahead.labour_h, "h"), ("mixed resin for laminates", ahead.resin_l, "L"))
    yield from bands(("bag film", ahead.film_m2, "m2"))
    days = (_done_by(found, i) for i in ENDS)
    yield row("  it can be done by", " .. ".join(day.isoformat() for day in days))
    late = max((one.late_days for one in found.standing.buying if one.order_by <= found.day), default=0)
    if late:
        why = "where what is to buy is not on your shelf: see its lead times below"
        yield wrapped(f"up to {late} days later {why}", "  ")


def _tasks(now: Forecast) -> Iterator[str]:
    """Hours still to come by task; what is finished is marked as done, or it stays here."""
    for one in now.tasks[:MOST_TASKS]:
        yield row(f"  {one.name}", f"{one.hours:.1f} h")
    rest = now.tasks[MOST_TASKS:]
    if rest:
        yield dim(row(f"  {len(rest)} more", f"{sum(one.hours for one in rest):.1f} h"))


def _buying(found: Stands) -> Iterator[str]:
    for one in found.standing.buying:
        when = "now" if one.order_by <= found.day else f"by {one.order_by.isoformat()}"
        late = f", comes {one.late_days} days late" if one.late_days and one.order_by <= found.day else ""
        where = f" from {one.supplier}" if one.supplier else ""
        name = f"  {one.item}: {one.eight:.3g} {one.unit} ({one.packs}){where}"
        yield row(name, f"{when}{late}  {about(found.piece.plan, one.money):>8}")


def _lessons(found: Stands) -> Iterator[str]:
    from quoting.measures.showing import unit_like

    for one in found.standing.lessons[:MOST_LESSONS]:
        unit = unit_like(one.words, one.dimension, one.now, found.piece.plan.shop.shop.units)
        before = f"{unit.text(one.before)} ± {per_cent(one.before_spread, 0)}"
        now = f"{unit.text(one.now)} ± {per_cent(one.now_spread, 0)}"
        yield row(named(one.name, one.words), f"{before} -> {now}")


def _earned(plan: Priced, now: Forecast) -> Iterator[str]:
    one = now.earned
    if one is None:
        return
    yield row("  earned so far, of the plan", f"{about(plan, one.ev)} of {about(plan, one.bac)}")
    yield row("  earned for each 1 of cost (CPI)", f"{one.cpi:.2f}")
    yield row("  cost in the end, the rest as planned", about(plan, one.eac_at_budget))
    yield row("  cost in the end, the rest as so far", about(plan, one.eac_at_present))
    if one.pv > 0:
        yield row("  earned for each 1 planned by today (SPI)", f"{one.spi:.2f}")
