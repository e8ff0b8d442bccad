"""What every line of a build will have cost in the end."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from quoting.costing.lines import MATERIAL_GROUPS
from quoting.logbook.filled import follows
from quoting.logbook.names import TRIP
from quoting.logbook.so_far import rates_paid
from quoting.values import key

if TYPE_CHECKING:
    from collections.abc import Mapping

    from quoting.costing.lines import Line
    from quoting.forecast.build import Build
    from quoting.logbook.filled import Filled
    from quoting.values import Num


def amounts_at_end(
    build: Build, whole: Mapping[str, Num], still: Mapping[str, Num], there: Mapping[str, Line], beyond: Num
) -> dict[str, Num]:
    """Cost of every line in the end [money]: material at what was paid for it, where that is known, else at the plan's rate;
    of other lines what is logged stands, and what is `still` not, done or to be done, at the plan's rate.
    """
    paid = rates_paid(build.lines)
    amounts: dict[str, Num] = {}
    for one in build.lines:
        line = one.line
        if follows(line):
            continue
        rate = there[line.id].rate if line.id in there else line.rate
        if line.trade in MATERIAL_GROUPS and not is_lump(one):
            free = line.supplied == "client"
            amounts[line.id] = 0.0 if free else whole[line.id] * paid.get(key(line.item), rate)
        else:
            amounts[line.id] = float(one.amount) + still[line.id] * rate
        if line.id == TRIP and not one.logged:
            amounts[line.id] = amounts[line.id] + beyond
    hours: Num = sum((whole[one.line.id] for one in build.lines if is_hours(one)), start=np.float64(0))
    materials: Num = sum(
        (amounts[one.line.id] for one in build.lines if one.line.trade in MATERIAL_GROUPS),
        start=np.float64(0),
    )
    for one in build.lines:
        if rule := follows(one.line):
            amounts[one.line.id] = (hours if rule == "hours" else materials) * one.line.rate
    return amounts


def is_lump(one: Filled) -> bool:
    """True for material that was paid for without a count: it is bought."""
    return one.line.trade in MATERIAL_GROUPS and one.lump


def is_hours(one: Filled) -> bool:
    """True for hours of people, which the overhead follows."""
    return one.line.trade in ("labour", "setback") and one.line.measure == "h"
