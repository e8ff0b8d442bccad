"""Hours of machines, and of the people who stand by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem, unknown
from quoting.takeoff.labour import attended_share, hours_need
from quoting.takeoff.needs import TakeOff, part_need
from quoting.takeoff.numbers import picked, surfacing_h, times
from quoting.values import Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.reading.tables import Tables
    from quoting.trades.machine.record import Machine


def take_off(part: Machine, shop: Shop, tables: Tables, pick: Pick) -> TakeOff:  # noqa: ARG001
    """Hours of a machine, and of the person who stands by."""
    setup = picked(pick, part.setup)
    if part.hours is not None:
        running = pick(part.hours)
        words, numbers = "{running:time}", {"running": running}
    else:
        area, stepover, feed = part.area or 0.0, part.stepover or 0.0, part.feed or 0.0
        running = surfacing_h(area_m2=area, stepover_m=stepover, feed_m_per_h=feed, passes=part.passes)
        words = "{area:area} / ({stepover:length} x {feed:feed}) x {passes:number} passes"
        numbers = {"area": area, "stepover": stepover, "feed": feed, "passes": part.passes}
    set_up = "" if part.setup is None else " + set-up {setup:time}"
    said = basis(words + set_up, setup=setup, **numbers)
    machine_need = part_need("machine", part, "machine", {"time": running + setup}, said, "machine")
    share = attended_share(part.attended, shop.machine[part.machine], pick)
    words = "attended {share:share} of {running:time}" + set_up
    said = basis(words, share=share, running=running, setup=setup)
    standing = hours_need("machine", part, "hours", running * share + setup, said, part.who or "owner")
    drivers = {"part": 1.0, **({"new part": 1.0} if part.new_part else {})}
    skip = frozenset({"machine_setup"} if part.setup is not None else ())
    return TakeOff(needs=(machine_need, standing), drivers=drivers, skip=skip)


def problems(part: Machine, shop: Shop, tables: Tables) -> Iterator[Problem]:  # noqa: ARG001
    """A machine of the shop, and hours or a surface to cover."""
    path = f"machine.{part.id}"
    if part.machine not in shop.machine:
        yield unknown(f"{path}.machine", part.machine, shop.machine)
    surface = [name for name in ("area", "stepover", "feed") if getattr(part, name)]
    if part.hours is None and len(surface) < 3:
        yield Problem.of(
            path,
            "found neither hours nor a whole surface",
            'write hours = "2 h", or area, stepover and feed',
            "missing",
        )
    if part.hours is not None and (surface or part.passes > 1):
        yield Problem.of(path, "found hours and a surface", "write one of them", "one_of")
    if part.attended is not None and part.attended.most > 1:
        yield Problem.of(
            f"{path}.attended", "found more than 100 %", "write the share of its hours", "too_large"
        )


def several(part: Machine, copies: int) -> Machine:
    """Machine hours of several pieces alike: hours in all or the surface grow, the set-up is one."""
    area = None if part.area is None else part.area * copies
    return replace(part, hours=part.hours and times(part.hours, copies), area=area)
