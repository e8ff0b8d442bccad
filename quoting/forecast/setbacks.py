"""Chances of setbacks on the way: what did not happen so far is less likely to happen still."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.pick import known

if TYPE_CHECKING:
    from quoting.forecast.build import Build
    from quoting.logbook.filled import Filled
    from quoting.values import Num, Pick, Uncertain


def with_setbacks(build: Build, pick: Pick, done: float) -> Pick:
    """A pick whose coins know how far the piece is. `done` is the share of the work that is behind it.

    A chance p spread evenly over the work leaves 1 - (1 - p)^(1 - done) for the rest of it. What happened does not happen
    again: its cost stands as logged.
    """
    happened = {f"{one.line.id.rpartition('.')[0]}.chance" for one in build.lines if _came(one)}
    nothing = known(dict.fromkeys(happened, 0.0), pick)

    def read(given: Uncertain) -> Num:
        if given.coin and given.name not in happened:
            return pick(replace(given, likely=1 - (1 - given.likely) ** (1 - done)))
        return nothing(given)

    return read


def _came(one: Filled) -> bool:
    return one.line.trade == "setback" and one.logged
