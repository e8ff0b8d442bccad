"""A shop from Python: its pieces in hand and what they teach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quoting.api.of_shop import AllReviewed, Buying, Learnt, Pieces, Rates, Review, Standing, Today
from quoting.api.result import quiet
from quoting.runs import builds, learn, pricing, shops
from quoting.runs import buying as errands
from quoting.runs import today as work


def shop(folder: str | Path, *, today: date | None = None) -> Shop:
    """A shop to ask. Raises quoting.Problems where its folder holds no shop file, or one that is wrong."""
    found = Shop(Path(folder), date.today() if today is None else today)
    pricing.rates(found.folder)
    return found


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop folder, as it stands on a day."""

    folder: Path
    day: date

    def pieces(self, *, everything: bool = False) -> Pieces:
        """The work in hand; all pieces that were ever issued on wish."""
        return Pieces(shops.pieces(self.folder, self.day, "", everything))

    def today(self) -> Today:
        """What to do today and next: tasks with their hours, what cures, what waits, quotes that lapse."""
        return Today(work.today(self.folder, self.day))

    def buying(self, *named: str) -> Buying:
        """What to buy in one errand for job files and issued quotes; for all pieces that are ordered where none is named."""
        return Buying(errands.buying(self.folder, self.day, named, None, False))

    def rates(self) -> Rates:
        """What an hour that is sold must bring."""
        return Rates(pricing.rates(self.folder))

    def standing(
        self, number: str | int, on: str = "", *, draws: int | None = None, seed: int | None = None
    ) -> Standing:
        """Where a piece in its build stands, and how it will end."""
        return Standing(builds.standing(self.folder, self.day, str(number), on, draws, seed))

    def review(self, number: str | int = "") -> Review | AllReviewed:
        """Where a finished piece made or lost money; all of them where none is named."""
        if not number:
            return AllReviewed(builds.review_all(self.folder, quiet))
        return Review(builds.review(self.folder, str(number), builds.Papers(None, False, False)))

    def learn(self) -> Learnt:
        """What finished pieces teach of the standards. Nothing is written."""
        return Learnt(learn.learn(self.folder, self.day, (), False, quiet))
