"""Flattening a panel: by machine passes or by hours."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quoting.errors import Problem, unknown
from quoting.takeoff.labour import attended_share, hours_need
from quoting.takeoff.needs import Need, part_need
from quoting.takeoff.numbers import surfacing_h
from quoting.values import Basis, Num, Pick, basis

if TYPE_CHECKING:
    from quoting.job.shop import Shop
    from quoting.trades.laminate.record import Flatten, Laminate


def needs(part: Laminate, area_m2: float, shop: Shop, pick: Pick) -> Iterator[Need]:
    """Machine and labour hours of each flattening of a panel: set-up is attended throughout."""
    for number, row in enumerate(part.flatten, start=1):
        running, words = _running(row, area_m2, pick)
        if not row.machine:
            yield _labour(part, row, number, running + row.setup, words)
            continue
        name, amounts = f"flatten-{number}-machine", {"time": running + row.setup}
        yield part_need("laminate", part, name, amounts, words, "machine", item=row.machine)
        share = attended_share(row.attended, shop.machine[row.machine], pick)
        attended = basis(
            "attended {share:share} of {running:time} + set-up {setup:time}",
            share=share,
            running=running,
            setup=row.setup,
        )
        yield _labour(part, row, number, running * share + row.setup, attended)


def _labour(part: Laminate, row: Flatten, number: int, hours: Num, words: Basis) -> Need:
    return hours_need("laminate", part, f"flatten-{number}", hours, words, row.who or "owner")


def _running(row: Flatten, area_m2: float, pick: Pick) -> tuple[Num, Basis]:
    """Time of the passes [h], without set-up, and how the whole time was reached."""
    if row.hours is not None:
        hours = pick(row.hours)
        return hours, basis(
            "{hours:time} as the job says + set-up {setup:time}", hours=hours, setup=row.setup
        )
    words = "{area:area} / ({stepover:length} x {feed:feed}) x {passes:number} passes + set-up {setup:time}"
    stepover, feed = row.stepover or 0.0, row.feed or 0.0
    return (
        surfacing_h(area_m2=area_m2, stepover_m=stepover, feed_m_per_h=feed, passes=row.passes),
        basis(words, area=area_m2, stepover=stepover, feed=feed, passes=row.passes, setup=row.setup),
    )


def problems(part: Laminate, shop: Shop) -> Iterator[Problem]:
    """A flattening needs hours, or a machine with stepover and feed; never neither."""
    for number, row in enumerate(part.flatten, start=1):
        path = f"laminate.{part.id}.flatten.{number}"
        passes = row.stepover is not None and row.feed is not None
        if (row.hours is None) != passes or (row.hours and (row.stepover or row.feed)):
            yield Problem(
                path, "found neither hours nor a pass, or both", 'write hours = "2 h", or stepover and feed'
            )
        elif passes and (not row.stepover or not row.feed):
            yield Problem(path, "found a stepover or feed of 0", "write values above zero")
        if row.machine and row.machine not in shop.machine:
            yield unknown(f"{path}.machine", row.machine, shop.machine)
        if not row.machine and passes:
            yield Problem(f"{path}.machine", "found nothing", "write the machine that makes the pass")
        if row.attended is not None and row.attended.most > 1:
            yield Problem(f"{path}.attended", "found more than 100 %", "write the share of its hours")
        if row.who and row.who not in shop.pay:
            yield unknown(f"{path}.who", row.who, shop.pay)
