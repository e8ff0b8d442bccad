"""Earned value: what the work done was worth by the plan, against what it cost."""

from __future__ import annotations

from typing import NamedTuple

from quoting.errors import Problem, Problems


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
