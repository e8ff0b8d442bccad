"""Labour by the shop's standard times, and hours written by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.errors import Problem
from quoting.takeoff.needs import Need, TakeOff, part_need
from quoting.values import Basis, Num, Pick, Uncertain, basis

if TYPE_CHECKING:
    from quoting.job.shop import MachineData, Shop, Standard
    from quoting.reading.fields import Part

OFFICE = "office"
GRIT = "m2 grit"
"""Counted by m2, once for every grit."""
OWN_TIME = "{each:time} in all, as the job says"


def hours_need(
    trade: str,
    part: Part,
    name: str,
    hours: Num,
    words: Basis,
    who: str,
    *,
    stage: str = "bench",
    operation: str = "",
) -> Need:
    """A labour line of a part: `hours` of `who` [h]."""
    more = {"item": who, "stage": stage, "operation": operation}
    need = part_need(trade, part, name, {"time": hours}, words, "labour", **more)
    return replace(need, part=str(getattr(part, part.naming)))


def attended_share(given: Uncertain | None, machine: MachineData, pick: Pick) -> Num:
    """Share of a machine's hours in which somebody stands by: the part's own, the machine's, else all."""
    share = given if given is not None else machine.attended
    return 1.0 if share is None else pick(share)


def wrong_learning(path: str, learning: Uncertain | None) -> Iterator[Problem]:
    """A learning rate is a share above zero."""
    if learning is not None and not 0 < learning.least <= learning.most <= 1:
        yield Problem.of(
            f"{path}.learning",
            "found a rate outside 0 to 100 %",
            'write a rate such as "90 %"',
            "out_of_range",
        )


def own_time(operation: str, part: Part, shop: Shop) -> Uncertain | None:
    """The time of a standard operation on a part: its own, the shop's, or None where not needed."""
    given = part.standard.get(operation)
    if given is None:
        return shop.standard[operation].time
    return given if isinstance(given, Uncertain) else None


def standard_needs(trade: str, part: Part, take_off: TakeOff, shop: Shop, pick: Pick) -> Iterator[Need]:
    """The labour line of every standard operation that applies to a part.

    hours = driver x time (x grits) + setup, where the set-up is a part's or a coat's; a time that the
    part itself gives is the whole of it.
    """
    for operation, standard in shop.standard.items():
        if not acts(operation, standard, trade, take_off):
            continue
        given = part.standard.get(operation)
        if isinstance(given, Uncertain):
            hours, words = pick(given), basis(OWN_TIME, each=pick(given))
        elif given is None and charged(standard, shop):
            hours, words = standard_hours(standard, take_off, pick)
        else:
            continue
        yield hours_need(
            trade, part, operation, hours, words, standard.who, stage=standard.stage, operation=operation
        )


def acts(operation: str, standard: Standard, trade: str, take_off: TakeOff) -> bool:
    """True where a standard operation makes a line of its own on a part."""
    return (
        trade in standard.applies_to
        and operation not in take_off.skip
        and standard.per.removesuffix(" grit") in take_off.drivers
    )


def standard_hours(standard: Standard, take_off: TakeOff, pick: Pick) -> tuple[Num, Basis]:
    """Hours of a standard operation on a part [h]: what it is counted by x the time of one (x grits, for sanding) + set-up.

    Counted by parts, joints, board feet, m2, edges or coats, as the standard's `per` says; shaped parts take its `shaped` time. What a
    part gives itself (standard = { milling = "2 h" }) is the whole of it.
    """
    per = standard.per.removesuffix(" grit")
    driver = take_off.drivers[per]
    time = pick(standard.shaped if take_off.shaped and standard.shaped else standard.time)
    grits = standard.grits if standard.per == GRIT else 1
    setups = {"part": 1.0, "coat": take_off.drivers.get("coat", 1.0), "item": 0.0}[standard.setup_per]
    own_setup = standard.setup is not None and standard.setup_per != "item"
    setup = 0.0 if standard.setup is None else pick(standard.setup) * setups
    words = "{per}: {driver:number} x {time:time}"
    words += " x {grits:number} grits" if grits > 1 else ""
    words += " + set-up {setup:time}" if own_setup else ""
    said = basis(words, driver=driver, per=per, time=time, grits=grits, setup=setup)
    return driver * time * grits + setup, said


def charged(standard: Standard, shop: Shop) -> bool:
    """False for office hours where the shop carries them in its overhead."""
    return not (standard.stage == OFFICE and shop.shop.office_time == "overhead")


def job_needs(
    shop: Shop,
    pick: Pick,
    *,
    counts: dict[str, float],
    setups: dict[str, int],
    trades: set[str],
    packing: str,
) -> Iterator[Need]:
    """Labour that belongs to the job as a whole: per job, piece and supplier, and set-ups per item.

    `counts` gives the jobs, pieces and suppliers; `setups` the different items by operation;
    `trades` what the job holds; `packing` the operation that packs it, if any.
    """
    for operation, standard in shop.standard.items():
        if not charged(standard, shop):
            continue
        if operation in setups and standard.setup is not None and standard.setup_per == "item":
            each = pick(standard.setup)
            n: float = setups[operation]
            words = basis("different items to set up for: {n:number} x {each:time}", n=n, each=each)
            yield _job_need(operation, f"{operation}-setup", n * each, words, standard)
        packs = operation == packing and "packing" in standard.applies_to
        if standard.per in counts and (packs or trades.intersection(standard.applies_to)):
            each, n = pick(standard.time), counts[standard.per]
            words = basis("{per}: {n:number} x {each:time}", n=n, per=standard.per, each=each)
            yield _job_need(operation, operation, n * each, words, standard)


def _job_need(operation: str, name: str, hours: Num, words: Basis, standard: Standard) -> Need:
    return Need(
        id=f"standard.{name}.hours",
        trade="labour",
        part=name.replace("_", " ").replace("-", " "),
        kind="labour",
        item=standard.who,
        amounts={"time": hours},
        basis=words,
        stage=standard.stage,
        operation=operation,
    )


def own_time_lines(line_id: str, operation: str) -> bool:
    """True for a labour line whose hours a part may state by itself: `standard.<operation>` of the part."""
    trade, _, rest = line_id.partition(".")
    return bool(operation) and trade != "standard" and rest.endswith(f".{operation}")
