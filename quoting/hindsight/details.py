"""A difference of one line in words: "laying took 6.5 h instead of 2.5 h"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.logbook.fill_targets import BY_STAGE
from quoting.logbook.names import task_of
from quoting.pricing.words import plain_money

if TYPE_CHECKING:
    from quoting.forecast.build import Build
    from quoting.hindsight.lines import Spent


def line_name(one: Spent) -> str:
    """A line as the maker calls it: the work and its part, or the thing."""
    line = one.line
    if line.trade == "setback":
        return line.part
    if line.measure == "h" and line.trade in ("labour", "machine"):
        if line.id.startswith((f"{BY_STAGE}.", "standard.")):
            return line.part
        return f"{task_of(line).replace('-', ' ')} of {line.part}"
    return line.item or line.part


def detail_of(build: Build, one: Spent, kind: str) -> str:
    """What a part of a line's difference is, in figures."""
    line, name, unit = one.line, line_name(one), one.line.unit
    if kind == "setback":
        happened = any(o.logged for o in build.lines if o.line.id == line.id)
        planned = {one.id: one.what for one in build.brief.job.setback}
        what = planned.get(line.id.split(".")[1], name)
        kind_of = "hours" if line.measure == "h" else "money"
        return f"{what}, {kind_of}: {'it happened' if happened else 'it did not happen'}"
    if kind in ("price", "pay") and one.quantity and line.rate:
        paid = float(one.actual) / one.quantity
        return f"{name}: {plain_money(paid)} instead of {plain_money(line.rate)} a {unit}"
    if kind == "price":
        return f"{name}: {plain_money(float(one.actual))} instead of {plain_money(float(one.planned))}"
    if kind == "lump":
        return f"{name}: {plain_money(float(one.actual))} paid instead of {plain_money(float(one.standard))}"
    if kind == "scope" and not line.quantity:
        return f"{name}: not in the plan"
    if kind == "scope":
        return f"{name}: {_amount(one.standard_quantity)} {unit} instead of {_amount(line.quantity)}"
    if kind in ("delivery", "waiting"):
        return f"{name}: {plain_money(float(one.actual))} instead of {plain_money(float(one.planned))}"
    return f"{name}: {_amount(one.quantity)} {unit} instead of {_amount(one.standard_quantity)}"


def _amount(quantity: float) -> str:
    return f"{quantity:.3g}" if quantity < 1000 else f"{quantity:,.0f}"
