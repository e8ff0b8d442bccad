"""Where a piece stands, on the terminal."""

from __future__ import annotations

from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from quoting.cli.amounts import about, money
from quoting.cli.panel_text import ENDS, MIDDLE, panel, to_decide
from quoting.cli.risk_text import LEVELS, chance_said
from quoting.cli.terminal import bold, dim, row, wrapped
from quoting.errors import one_line
from quoting.job.patch import unit_like

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quoting.risk.drawn import Quantile
    from quoting.runs.standing import Stands

MOST_DRIVERS, MOST_LESSONS, MOST_TASKS = 8, 10, 10
EIGHT = 2


def standing_text(found: Stands) -> str:
    """All that is known of a piece in its build, in blocks."""
    piece, now = found.piece, found.standing
    title = f"How {piece.number} {piece.quote.face.title} stands on {found.day.isoformat()}: {piece.standing.words}"
    head = f"{bold(wrapped(one_line(title), ''))}\n{now.draws:,} builds drawn with seed {now.seed}, in {piece.plan.currency}"
    head += "".join(f"\n{wrapped(note, '')}" for note in found.notes)
    blocks = [head, _cost(found), _margin(found), _to_go(found), *_tasks(found)]
    blocks += [panel(found, one) for one in now.panels]
    blocks += [*to_decide(found)]
    blocks += [*_buying(found), *_lessons(found), *_drivers(found), *_earned(found)]
    return "\n\n".join(blocks)


def _cost(found: Stands) -> str:
    now = found.standing
    rows = [bold("What it will have cost in the end")]
    rows += [
        row(f"  {words} builds cost less than", about(found.piece.plan, one.value))
        for words, one in zip(LEVELS, now.cost, strict=True)
    ]
    rows.append(row("  the plan, without its reserve", about(found.piece.plan, now.planned_cost)))
    rows.append(row("  cost so far", about(found.piece.plan, now.spent)))
    return "\n".join(rows)


def _margin(found: Stands) -> str:
    now = found.standing
    net, fees = now.contract.net, now.contract.fees
    name = "price agreed" if now.contract.firm else "price asked"
    less = f", less fees {money(found.piece.plan, fees)}"
    rows = [bold("Margin now against quoted"), row(f"  {name}, net{less}", money(found.piece.plan, net))]
    rows.append(row("  quoted, the reserve counted as cost", f"{now.quoted:.1%}"))
    if now.planned is not None:
        rows.append(row("  by the plan, the reserve untouched", f"{now.planned:.1%}"))
        rows.append(row("  now, in the middle", f"{now.margins[MIDDLE]:.1%}", "1"))
        rows.append(row("  now, where 8 in 10 builds do better", f"{now.margins[EIGHT]:.1%}"))
    if now.loses is not None:
        rows.append(row("  it loses money in", chance_said(now.loses)))
    return "\n".join(rows)


def _to_go(found: Stands) -> str:
    ahead = found.standing.to_go
    rows = [bold(wrapped("Still to come: in 8 of 10 builds between, and in the middle", ""))]
    for name, spread, unit in (
        ("labour", ahead.labour_h, "h"), ("mixed resin for laminates", ahead.resin_l, "L"), ("bag film", ahead.film_m2, "m2"),
    ):  # fmt: skip
        if spread[-1].value:
            rows.append(row(f"  {name}", f"{_band(spread)} {unit}"))
    first, middle, last = (_day(found, ahead.days[i]) for i in ENDS)
    rows.append(row("  it can be done by", f"{first} .. {middle} .. {last}"))
    late = max((one.late_days for one in found.standing.buying if one.order_by <= found.day), default=0)
    if late:
        rows.append(
            wrapped(
                f"up to {late} days later where what is to buy is not on your shelf: see its lead times below",
                "  ",
            )
        )
    return "\n".join(rows)


def _tasks(found: Stands) -> Iterator[str]:
    """Hours still to come by task; what is finished is marked as done, or it stays here."""
    if found.standing.tasks:
        rows = [
            bold(
                wrapped(
                    "Hours to come by task, in the middle (mark what is finished: quoting log NUMBER done TASK)",
                    "",
                )
            )
        ]
        rows += [
            row(one_line(f"  {one.name}"), f"{one.hours:.1f} h") for one in found.standing.tasks[:MOST_TASKS]
        ]
        rest = found.standing.tasks[MOST_TASKS:]
        if rest:
            rows.append(dim(row(f"  {len(rest)} more", f"{sum(one.hours for one in rest):.1f} h")))
        yield "\n".join(rows)


def _day(found: Stands, days: Quantile) -> str:
    return (found.day + timedelta(days=ceil(days.value - 1e-9))).isoformat()


def _buying(found: Stands) -> Iterator[str]:
    if not found.standing.buying:
        return
    rows = [bold(wrapped("To buy: what 8 in 10 builds still need, the most urgent first", ""))]
    for one in found.standing.buying:
        when = "now" if one.order_by <= found.day else f"by {one.order_by.isoformat()}"
        late = f", comes {one.late_days} days late" if one.late_days and one.order_by <= found.day else ""
        name = f"  {one.item}: {one.eight:.3g} {one.unit} ({one.packs}){' from ' + one.supplier if one.supplier else ''}"
        rows.append(row(one_line(name), f"{when}{late}  {about(found.piece.plan, one.money):>8}"))
    yield "\n".join(rows)


def _lessons(found: Stands) -> Iterator[str]:
    lessons = found.standing.lessons[:MOST_LESSONS]
    if lessons:
        rows = [
            bold(wrapped("What the log has taught: the middle and how far it may be off, before -> now", ""))
        ]
        system = found.piece.plan.shop.shop.units
        for one in lessons:
            unit = unit_like(one.words, one.dimension, one.now, system)
            before, now = (
                f"{unit.text(value)} ± {spread:.0%}"
                for value, spread in ((one.before, one.before_spread), (one.now, one.now_spread))
            )
            words = f" ({one.words})" if one.words else ""
            rows.append(row(f"  {one.name}{words}", f"{before} -> {now}"))
        yield "\n".join(rows)


def _drivers(found: Stands) -> Iterator[str]:
    drivers = found.standing.drivers[:MOST_DRIVERS]
    if drivers:
        rows = [bold(wrapped("What drives the cost from here: share of what is still unsure", ""))]
        rows += [
            row(f"  {one.name}" + (f" ({one.words})" if one.words else ""), f"{one.share:.0%}")
            for one in drivers
        ]
        yield "\n".join(rows)


def _earned(found: Stands) -> Iterator[str]:
    one = found.standing.earned
    if one is None:
        return
    rows = [bold(wrapped("Earned value: the work done at the plan's cost, beside what it cost", ""))]
    rows.append(
        row(
            "  earned so far, of the plan",
            f"{about(found.piece.plan, one.ev)} of {about(found.piece.plan, one.bac)}",
        )
    )
    rows.append(row("  earned for each 1 of cost (CPI)", f"{one.cpi:.2f}"))
    rows.append(row("  cost in the end, the rest as planned", about(found.piece.plan, one.eac_at_budget)))
    rows.append(row("  cost in the end, the rest as so far", about(found.piece.plan, one.eac_at_present)))
    if one.pv > 0:
        rows.append(row("  earned for each 1 planned by today (SPI)", f"{one.spi:.2f}"))
    yield "\n".join(rows)


def _band(spread: tuple[Quantile, ...]) -> str:
    return " .. ".join(f"{spread[i].value:.1f}" for i in ENDS)
