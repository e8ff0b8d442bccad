"""How much of a piece is done, and its earned value: what the work done was worth by the plan, against what it cost."""

from collections import defaultdict
from typing import NamedTuple

from quoting.errors import Problem, Problems
from quoting.forecast.build import Build, quantities, so_far, whole
from quoting.logbook.filled import Filled, follows, stage_hours
from quoting.values import Num, Pick


class Done(NamedTuple):
    """Planned money of what is done [money], and the share of the planned hours that are worked off."""

    worth: float
    hours: float


def done_so_far(build: Build, pick: Pick) -> Done:
    """What is done of a piece: a line behind it whole; one that grows by rounds by what the rounds so far take of all;
    another by what is logged of what was planned. Overhead and sundries follow. `pick` reads the middle of every input.
    """
    model, begun = quantities(whole(build, pick)), quantities(so_far(build, pick))
    by_stage = _by_stage(build)
    shares = {one.line.id: _share(build, one, model, begun, by_stage) for one in build.lines}
    hours = [one for one in build.lines if one.line.trade == "labour"]
    planned = sum(one.line.quantity for one in hours)
    worked = sum(one.line.quantity * shares[one.line.id] for one in hours) / planned if planned else 0.0
    materials = [one for one in build.lines if one.line.supplied != "client" and not follows(one.line)]
    worth = sum(float(one.line.amount) * shares[one.line.id] for one in materials)
    for one in build.lines:
        if rule := follows(one.line):
            worth += float(one.line.amount) * (
                worked if rule == "hours" else _material_share(materials, shares)
            )
    return Done(worth, worked)


def _share(
    build: Build, one: Filled, model: dict[str, Num], begun: dict[str, Num], by_stage: dict[str, float]
) -> float:
    """The share of a line that is done. Material that is bought is worth its money, used or not."""
    line = one.line
    if build.progress.behind(line):
        return 1.0
    if line.id in build.by_round and line.trade in ("labour", "machine"):
        return min(float(begun[line.id]) / float(model[line.id]), 1.0) if one.quantity > 0 else 0.0
    if line.trade == "labour" and line.stage in by_stage:
        return min(by_stage[line.stage] + one.quantity / line.quantity, 1.0) if line.quantity else 0.0
    return min(max(one.quantity, one.bought) / line.quantity, 1.0) if line.quantity else 0.0


def _by_stage(build: Build) -> dict[str, float]:
    """Hours of which only the stage is known, as a share of its planned hours."""
    planned: dict[str, float] = defaultdict(float)
    for one in build.lines:
        if one.line.trade == "labour":
            planned[one.line.stage] += one.line.quantity
    worked = stage_hours(build.lines)
    return {stage: hours / planned[stage] for stage, hours in worked.items() if planned[stage]}


def _material_share(lines: list[Filled], shares: dict[str, float]) -> float:
    bought = [one for one in lines if one.line.material]
    whole_money = sum(float(one.line.amount) for one in bought)
    return (
        sum(float(one.line.amount) * shares[one.line.id] for one in bought) / whole_money
        if whole_money
        else 0.0
    )


class Earned(NamedTuple):
    """Figures of a project [money]: budget at completion BAC, earned value EV, actual cost AC, planned value PV.

    Formulas as in A Guide to the Project Management Body of Knowledge, chapter on cost control (from memory; worked
    examples in the tests).
    """

    bac: float
    ev: float
    ac: float
    pv: float

    @property
    def cv(self) -> float:
        """Cost variance [money]: EV - AC, below nothing where the work cost more than it was worth."""
        return self.ev - self.ac

    @property
    def sv(self) -> float:
        """Schedule variance [money]: EV - PV."""
        return self.ev - self.pv

    @property
    def cpi(self) -> float:
        """Cost performance index: EV / AC."""
        return self.ev / self.ac

    @property
    def spi(self) -> float:
        """Schedule performance index: EV / PV."""
        return self.ev / self.pv

    @property
    def eac_at_budget(self) -> float:
        """Estimate at completion where the rest costs what was planned [money]: AC + BAC - EV."""
        return self.ac + self.bac - self.ev

    @property
    def eac_at_present(self) -> float:
        """Estimate at completion where the rest goes as it went so far [money]: AC + (BAC - EV) / CPI."""
        return self.ac + (self.bac - self.ev) / self.cpi

    @property
    def eac_at_both(self) -> float:
        """Estimate at completion where the calendar presses as well [money]: AC + (BAC - EV) / (CPI x SPI)."""
        return self.ac + (self.bac - self.ev) / (self.cpi * self.spi)

    @property
    def tcpi(self) -> float:
        """To-complete index: (BAC - EV) / (BAC - AC), how well the rest must go to end at the plan. Infinite where
        the plan is spent already.
        """
        return (self.bac - self.ev) / (self.bac - self.ac) if self.bac > self.ac else float("inf")


def earned(*, bac: float, ev: float, ac: float, pv: float) -> Earned:
    """Earned value figures. Raises Problems where nothing was done or nothing was spent: there is nothing to compare."""
    wrong = [
        Problem(name, "found nothing", advice)
        for name, value, advice in (
            ("earned value", ev, "log what is done first"),
            ("actual cost", ac, "log what it cost first"),
        )
        if value <= 0
    ]
    if wrong:
        raise Problems(wrong)
    return Earned(bac, ev, ac, pv)
