"""Several pieces alike: parts are counted before anything is rounded up, set-ups once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from quoting.values import Uncertain

if TYPE_CHECKING:
    from quoting.reading.part import Part

COUNTED = ("hardwood", "sheet", "metal", "glass")


def several(trade: str, part: Any, copies: int) -> tuple[Any, int]:
    """The part as all pieces together need it, and how often its take-off is still to be counted.

    Counted and measured things are multiplied before the take-off, so that ten parts share a sheet;
    panels, castings and coats are each made by themselves, and their take-off counts `copies` times.
    """
    if copies == 1:
        return part, 1
    if trade in COUNTED:
        return _with_own_times(replace(part, quantity=part.quantity * copies), copies), 1
    if trade == "work":
        if part.each is not None:
            return replace(part, quantity=part.quantity * copies), 1
        return replace(part, hours=times(part.hours, copies)), 1
    if trade == "machine":
        area = None if part.area is None else part.area * copies
        return replace(part, hours=times(part.hours, copies), area=area), 1
    if trade == "finish":
        return _with_own_times(replace(part, area=times(part.area, copies)), copies), 1
    return part, copies


def times(given: Uncertain | None, factor: float) -> Uncertain | None:
    """A range multiplied; its name, and so its draws, stay the same."""
    if given is None:
        return None
    return replace(given, low=given.low * factor, likely=given.likely * factor, high=given.high * factor)


def _with_own_times(part: Part, copies: int) -> Part:
    """A time that the part itself gives is for one piece."""
    own = {
        name: (times(time, copies) or time) if isinstance(time, Uncertain) else time
        for name, time in part.standard.items()
    }
    return replace(part, standard=own)
