"""A shop from Python: its pieces in hand and what they teach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quoting.api.results import AllReviewed, Learnt, Pieces, Review, Standing, quiet
from quoting.runs import builds, learn, pricing, shops


def shop(folder: str | Path, *, today: date | None = None) -> Shop:
    """A shop to ask. Raises quoting.Problems where its folder holds no shop file, or one that is wrong."""
    found = Shop(Path(folder), date.today() if today is None else today)
    pricing.rates(found.folder)
    return found


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop folder, as it stands on a day."""

    folder: Path
    today: date

    def pieces(self, *, everything: bool = False) -> Pieces:
        """The work in hand; all pieces that were ever issued on wish."""
        return Pieces(shops.pieces(self.folder, self.today, "", everything))

    def standing(
        self, number: str, on: str = "", *, draws: int | None = None, seed: int | None = None
    ) -> Standing:
        """Where a piece in its build stands, and how it will end."""
        return Standing(builds.standing(self.folder, self.today, number, on, draws, seed))

    def review(self, number: str = "") -> Review | AllReviewed:
        """Where a finished piece made or lost money; all of them where none is named."""
        if not number:
            return AllReviewed(builds.review_all(self.folder, quiet))
        return Review(builds.review(self.folder, number, builds.Papers(None, False, False)))

    def learn(self) -> Learnt:
        """What finished pieces teach of the standards. Nothing is written."""
        return Learnt(learn.learn(self.folder, self.today, (), False, quiet))
