"""What a job answers: its price, how sure it is, how far it goes, what it sells for, versions, cuts, days, papers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from quoting.api.result import Result
from quoting.as_data import planned
from quoting.as_data.record import Data, problem_data
from quoting.errors import Problem
from quoting.measures.showing import hours_said, per_cent
from quoting.money import OWN, exact, printed
from quoting.pricing.in_brief import InBrief, in_brief
from quoting.pricing.record import Priced
from quoting.runs.answer import Answer
from quoting.runs.cut import CutOut

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure


class Price(Result[Priced]):
    """What a piece costs and what it is sold for."""

    _rows = "lines"

    @property
    def total(self) -> Decimal:
        """What the client pays [money], tax and delivery in it."""
        return self.found.chain.total

    @property
    def net(self) -> Decimal:
        """The price before tax [money]."""
        return self.found.chain.net

    @property
    def cost(self) -> Decimal:
        """Cost by the plan [money], without a reserve, the whole trip in it."""
        return self.found.planned_cost

    @property
    def margin(self) -> float:
        """What is left of the net price after all costs, fees and the reserve, as a share of it."""
        return float(self.found.chain.margin)

    @property
    def hours(self) -> float:
        """Hours of people [h], without the trip."""
        return float(self.found.quantities["labour_hours"])

    @property
    def brief(self) -> InBrief:
        """What is asked first: your hours and what each earns, cash to lay out, the day it is ready, where the price goes."""
        return in_brief(self.found)

    @property
    def currency(self) -> str:
        """ISO code of all amounts."""
        return self.found.currency

    def _data(self) -> Data:
        return planned.price_data(self.found)

    def _of(self) -> str:
        return self.found.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        yield "total", printed(self.total, self.currency, OWN)
        yield "margin", per_cent(self.margin)
        brief = self.brief
        yield "your hours", hours_said(brief.own_hours)
        if brief.an_hour is not None:
            yield "earned by each", printed(exact(brief.an_hour, self.found.digits), self.currency, OWN)
        yield "cash to lay out", printed(brief.cash, self.currency, OWN)
        if brief.ready is not None:
            yield "ready", str(brief.ready)
        if self.found.warnings:
            yield "warnings", str(len(self.found.warnings))

    def _figure(self) -> Figure:
        from quoting.documents.pictures.price import price_picture

        return price_picture(self.found)


class Checked(Result[Answer]):
    """A job with all that is wrong in it, and the price of what can be reckoned."""

    _rows = "problems"

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What a maker must put right: each with its file, line, path, kind and words."""
        return self.found.problems

    @property
    def price(self) -> Price | None:
        """The price of what can be reckoned; none where too little can. Without the parts that are `left_out`."""
        return None if self.found.priced is None else Price(self.found.priced)

    @property
    def left_out(self) -> tuple[str, ...]:
        """Parts that stand in no price, for something is wrong in them."""
        return self.found.left_out

    def _data(self) -> Data:
        priced = self.found.priced
        return problem_data("python", self.problems, () if priced is None else priced.warnings, self.left_out)

    def _of(self) -> str:
        return "a job" if self.found.brief is None else self.found.brief.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        yield "things to put right", str(len(self.problems))
        if self.price is not None:
            yield "total", printed(self.price.total, self.price.currency, OWN)


class CutPlan(Result[CutOut]):
    """What to buy, where each part is cut from, and what is left."""

    def _data(self) -> Data:
        return planned.cut_data(self.found)

    def _records(self) -> list[Data]:
        """Pieces as they are cut, each with the stock it comes from."""
        return [
            {"item": plan["item"], "stock": number, **piece}
            for plan in self.to_dict()["plans"]
            for number, stock in enumerate(plan["stocks"], start=1)
            for piece in stock["pieces"]
        ]

    def _of(self) -> str:
        return self.found.brief.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for plan in self.found.brief.plans:
            yield plan.item, f"{len(plan.stocks)} cut, {per_cent(plan.waste)} of what is taken is no part"

    def _figure(self) -> Figure:
        from quoting.documents.pictures.cut import all_stocks
        from quoting.documents.pictures.marks import accent_of

        brief = self.found.brief
        house = brief.shop.shop
        return all_stocks(
            brief.plans, house.units, brief.job.piece.title, accent_of(house), self.found.caution
        )


class Calendar(Result[Priced]):
    """The days of a build, from the order to the hand-over."""

    def _data(self) -> Data:
        return {"job": self._of(), "steps": self.found.calendar}

    _rows = "steps"

    def _of(self) -> str:
        return self.found.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        yield "days to the hand-over", f"{self.found.quantities['lead_days']:.0f}"

    def _figure(self) -> Figure:
        from quoting.documents.pictures.build import days_picture

        return days_picture(self.found)


@dataclass(frozen=True, slots=True, repr=False)
class Quote(Price):
    """A price whose papers were written: `files` are their paths."""

    files: tuple[Path, ...] = ()
