"""What a shop answers: its pieces in hand, where one stands, where the money of a finished one went, what all of them teach."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from quoting.api.result import Result
from quoting.as_data import happened, planned
from quoting.as_data.record import Data
from quoting.measures.showing import hours_said
from quoting.money import OWN, printed
from quoting.runs.builds import AllPieces, Reviewed, Stands
from quoting.runs.buying import BuyingList
from quoting.runs.learn import Lessons
from quoting.runs.pricing import Rates as HourRates
from quoting.runs.shops import Pieces as InHand
from quoting.runs.today import Today as Work

if TYPE_CHECKING:
    from quoting.documents.pictures.marks import Figure


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


class Today(Result[Work]):
    """What to do on a day, over all pieces in hand."""

    def _data(self) -> Data:
        return happened.today_data(self.found)

    def _records(self) -> list[Data]:
        """A row for each task that the day has room for."""
        return [
            {"number": one["number"], **task} for one in self.to_dict()["pieces"] for task in one["today"]
        ]

    def _of(self) -> str:
        return str(self.found.day)

    def _answer(self) -> Iterator[tuple[str, str]]:
        yield "work", hours_said(self.found.work_h)
        yield "room", hours_said(self.found.room_h)


class Buying(Result[BuyingList]):
    """What to buy for several pieces in one errand."""

    def _data(self) -> Data:
        return happened.buying_data(self.found)

    def _records(self) -> list[Data]:
        """A row for each thing, with its supplier."""
        return [
            {"supplier": errand["supplier"], **item}
            for errand in self.to_dict()["errands"]
            for item in errand["items"]
        ]

    def _of(self) -> str:
        return ", ".join(self.found.pieces) or "no piece"

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.errands:
            yield one.supplier or "no supplier named", printed(one.amount, self.found.currency, OWN)


class Rates(Result[HourRates]):
    """What an hour that is sold must bring, and how each hour rate is built up."""

    @property
    def sold_hour(self) -> float:
        """What must come in for an hour [money], before tax."""
        return self.found.sold.total

    def _data(self) -> Data:
        return planned.rates_data(self.found)

    def _records(self) -> list[Data]:
        """A row for each rate."""
        return [{"name": name, **rate} for name, rate in self.to_dict()["rates"].items()]

    def _of(self) -> str:
        return f"an hour in {self.found.currency}"

    def _answer(self) -> Iterator[tuple[str, str]]:
        for one in self.found.goes:
            yield one.name, printed(one.amount, self.found.currency, OWN)


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
