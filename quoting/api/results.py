"""Answers as a notebook or another program takes them: frozen, with the figures by name, as data, as a table, and to look at."""

from __future__ import annotations

import html
import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from quoting.as_data import happened, planned
from quoting.as_data.record import Data, dumped, problem_data
from quoting.errors import Problem, one_line
from quoting.measures.showing import road_unit
from quoting.money import OWN, printed
from quoting.pricing.record import Priced
from quoting.runs.answer import Answer
from quoting.runs.builds import AllPieces, Reviewed, Stands
from quoting.runs.cut import CutOut
from quoting.runs.learn import Lessons
from quoting.runs.reach import Found as Reached
from quoting.runs.risk import Compared
from quoting.runs.risk import Risk as Drawn
from quoting.runs.sell import Found as Sold
from quoting.runs.shops import Pieces as InHand

if TYPE_CHECKING:
    from pandas import DataFrame

    from quoting.documents.pictures.marks import Figure

F = TypeVar("F")
MOST = 4
"""Figures that stand in one line."""


@dataclass(frozen=True, slots=True, repr=False)
class Result(Generic[F]):
    """An answer. `found` is the record that the recipe gave, with everything in it; what is asked for most has a name here."""

    found: F
    _rows: ClassVar[str] = ""

    def to_dict(self) -> Data:
        """The answer as plain data: the very object that --json prints at a terminal."""
        data: Data = json.loads(dumped(self._data()))
        return data

    def to_frame(self) -> DataFrame:
        """The rows of the answer as a table: one row for each line, driver, distance, piece."""
        from pandas import DataFrame

        return DataFrame.from_records(self._records())

    def __repr__(self) -> str:
        told = [f"{name} {words}" for name, words in islice(self._answer(), MOST)]
        return one_line(f"<{type(self).__name__} of {self._of()}: {', '.join(told)}>")

    def _repr_html_(self) -> str:
        """The answer for a notebook: its figures, and its picture where it has one."""
        rows = "".join(
            f"<tr><th style='text-align:left'>{html.escape(name)}</th>"
            f"<td style='text-align:right'>{html.escape(words)}</td></tr>"
            for name, words in self._answer()
        )
        figure = self._figure()
        return f"<div><b>{html.escape(self._of())}</b><table>{rows}</table>{_svg(figure)}</div>"

    def _data(self) -> Data:
        raise NotImplementedError

    def _records(self) -> list[Data]:
        found: list[Data] = self.to_dict()[self._rows]
        return found

    def _of(self) -> str:
        raise NotImplementedError

    def _answer(self) -> Iterator[tuple[str, str]]:
        raise NotImplementedError

    def _figure(self) -> Figure | None:
        return None


def _svg(figure: Figure | None) -> str:
    """A figure as a piece of a page; nothing where there is none."""
    if figure is None:
        return ""
    from quoting.documents.pictures.writers import svg_bytes

    return svg_bytes(figure).decode().partition("?>")[2]


def _share(share: Decimal | float) -> str:
    return f"{float(share) * 100:.1f} %"


class Price(Result[Priced]):
    """What a piece costs and what it is sold for."""

    _rows = "lines"

    @property
    def total(self) -> Decimal:
        """What the client pays, tax and delivery in it."""
        return self.found.chain.total

    @property
    def net(self) -> Decimal:
        """The price before tax."""
        return self.found.chain.net

    @property
    def cost(self) -> Decimal:
        """Cost by the plan, without a reserve, the whole trip in it."""
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
    def currency(self) -> str:
        """ISO code of all amounts."""
        return self.found.currency

    def _data(self) -> Data:
        return planned.price_data(self.found)

    def _of(self) -> str:
        return self.found.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        yield "total", printed(self.total, self.currency, OWN)
        yield "margin", _share(self.margin)
        yield "hours", f"{self.hours:.1f}"
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


class Risk(Result[Drawn]):
    """How sure a price is: the whole build drawn many times."""

    _rows = "drivers"

    @property
    def cost(self) -> dict[float, float]:
        """Cost [money] at its levels: 0.8 is what 8 in 10 builds stay below."""
        return {one.level: one.value for one in self.found.outlook.cost}

    @property
    def loses(self) -> float:
        """The chance that the price does not cover the cost."""
        return self.found.outlook.loses.share

    def _data(self) -> Data:
        return planned.risk_data(self.found.priced, self.found.outlook)

    def _of(self) -> str:
        return self.found.priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        currency = self.found.priced.currency
        for level, value in self.cost.items():
            yield f"{level * 100:.0f} % of builds cost at most", f"{value:,.0f} {currency}"
        yield "chance of a loss", _share(self.loses)

    def _figure(self) -> Figure:
        from quoting.documents.pictures.price import risk_picture

        return risk_picture(self.found.priced, self.found.outlook)


class Reach(Result[Reached]):
    """How far a piece can be delivered, free and with a surcharge."""

    _rows = "distances"

    def _data(self) -> Data:
        return planned.reach_data(self.found)

    def _of(self) -> str:
        return self.found.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.reach.radii():
            yield f"at the margin asked of {one.name}", self._far(one.at_margin)

    def _figure(self) -> Figure:
        from quoting.documents.pictures.price import reach_picture

        return reach_picture(self.found.reach, self.found.shop, self.found.title, self.found.asked_m)

    def _far(self, radius_m: float | None) -> str:
        """A radius by road: none is nowhere, infinite is anywhere."""
        if radius_m is None:
            return "nowhere"
        name, metres = road_unit(self.found.shop.shop.units)
        return "anywhere" if math.isinf(radius_m) else f"{radius_m / metres:,.1f} {name}"


class Comparison(Result[Compared]):
    """Versions of a piece side by side."""

    _rows = "versions"

    def _data(self) -> Data:
        return planned.compare_data(self.found)

    def _records(self) -> list[Data]:
        return [{"name": one["name"], **one["figures"]} for one in self.to_dict()["versions"]]

    def _of(self) -> str:
        return self.found.versions[0].priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.versions:
            yield one.name, printed(one.priced.chain.total, one.priced.currency, OWN)


class Sale(Result[Sold]):
    """What a piece can be sold for, through each channel."""

    _rows = "channels"

    @property
    def target(self) -> Decimal | None:
        """The list price through the channel it is sold through."""
        sale = self.found.own.list_price
        return None if sale is None else sale.seen

    def _data(self) -> Data:
        return planned.sell_data(self.found)

    def _of(self) -> str:
        return self.found.piece.priced.job.piece.title

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.channels:
            price = one.list_price
            yield (
                one.name,
                "-" if price is None else printed(price.seen, self.found.piece.priced.currency, OWN),
            )


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
            yield plan.item, f"{len(plan.stocks)} cut, {_share(plan.waste)} of what is taken is no part"

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


class Pieces(Result[InHand]):
    """The work in hand."""

    _rows = "pieces"

    def _data(self) -> Data:
        return happened.pieces_data(self.found)

    def _of(self) -> str:
        return str(self.found.day)

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.rows:
            yield f"{one.piece.number} {one.piece.quote.face.title}", one.piece.standing.words


class Standing(Result[Stands]):
    """Where a piece in its build stands, and how it will end."""

    _rows = "tasks_to_go"

    @property
    def on(self) -> date:
        """The day it stands so."""
        return self.found.day

    def _data(self) -> Data:
        return happened.standing_data(self.found)

    def _of(self) -> str:
        return f"{self.found.piece.number} {self.found.piece.quote.face.title}"

    def _answer(self) -> Iterator[tuple[str, str]]:
        currency = self.found.piece.plan.currency
        for one in self.found.standing.cost:
            yield f"{one.level * 100:.0f} % end at most at", f"{one.value:,.0f} {currency}"


class Review(Result[Reviewed]):
    """Where a finished piece made or lost money."""

    _rows = "lines"

    @property
    def margin(self) -> float | None:
        """The margin that was earned, as a share of the net price; none where nothing was asked for it."""
        share = self.found.statement.actual_share
        return None if share is None else float(share)

    def _data(self) -> Data:
        return happened.review_data(self.found)

    def _of(self) -> str:
        return f"{self.found.name} {self.found.build.piece.plan.job.piece.title}"

    def _answer(self) -> Iterator[tuple[str, str]]:
        way, currency = self.found.statement.way, self.found.build.piece.plan.currency
        yield "quoted", printed(way.quoted, currency, OWN)
        yield "earned", printed(way.actual, currency, OWN)

    def _figure(self) -> Figure:
        from quoting.documents.pictures.review import bridge_picture

        return bridge_picture(self.found.build.piece.plan, self.found.statement)


class AllReviewed(Result[AllPieces]):
    """Every finished piece side by side."""

    def _data(self) -> Data:
        return happened.all_data(self.found)

    def _records(self) -> list[Data]:
        """A row for each piece, with its currency."""
        return [
            {"currency": currency, **row}
            for currency, table in self.to_dict()["currencies"].items()
            for row in table["pieces"]
        ]

    def _of(self) -> str:
        return "all pieces"

    def _answer(self) -> Iterator[tuple[str, str]]:
        for currency, table in self.found.tables.items():
            yield f"pieces in {currency}", str(len(table.pieces))


class Learnt(Result[Lessons]):
    """What finished pieces teach; `patch` is the change to the shop file that it comes to."""

    _rows = "standards"

    @property
    def patch(self) -> str:
        """The change to shop.toml, as text; nothing of it is written."""
        return self.found.patch

    def _data(self) -> Data:
        return happened.learn_data(self.found)

    def _of(self) -> str:
        return f"{self.found.pieces} pieces"

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.proposals:
            yield one.learned.name, f"{one.old_text or 'as the starter file'} -> {one.new_text}"


def texts_of(settings: Mapping[str, object]) -> list[str]:
    """Values to try, each as path=value in the spelling of files."""
    return [
        f"{path}={str(value).lower() if isinstance(value, bool) else value}"
        for path, value in settings.items()
    ]


def quiet(_: object) -> None:
    """Nobody watches."""


def never() -> bool:
    """Nobody ends it."""
    return False
