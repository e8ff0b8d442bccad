"""A job from Python: read it once, ask it what the commands answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quoting.api.results import (
    Calendar,
    Comparison,
    CutPlan,
    Price,
    Quote,
    Reach,
    Risk,
    Sale,
    texts_of,
)
from quoting.runs import cut as cuts
from quoting.runs import pricing
from quoting.runs import reach as reaches
from quoting.runs import risk as risks
from quoting.runs import sell as sales

NOTHING: Mapping[str, object] = {}


def load(
    job: str | Path,
    shop: str | Path | None = None,
    settings: Mapping[str, object] = NOTHING,
    *,
    today: date | None = None,
) -> Job:
    """A job to ask: its file, the shop folder (the job's own where none is named), and values to try by their path, such as
    {"pricing.margin": "35 %"}. `today` is the day it is priced for. Raises quoting.Problems with all that is wrong.
    """
    day = date.today() if today is None else today
    found = Job(Path(job), None if shop is None else Path(shop), tuple(texts_of(settings)), day)
    pricing.check(found.path, found.shop, day, found.settings)
    return found


@dataclass(frozen=True, slots=True)
class Job:
    """A job that was found right. Each answer reads its files anew: who edits them meanwhile is answered by what stands there."""

    path: Path
    shop: Path | None
    settings: tuple[str, ...]
    today: date

    def price(self) -> Price:
        """Cost and price, line by line."""
        return Price(pricing.price(self.path, self.shop, self.today, self.settings))

    def risk(self, draws: int | None = None, seed: int | None = None) -> Risk:
        """How sure the price is. `draws` and `seed` else as job and shop say."""
        return Risk(
            risks.risk(self.path, self.shop, self.today, self.settings, draws, seed, None, False, _quiet)
        )

    def reach(self, *, price: object = "", to: str = "", road: str = "", carrier: object = "") -> Reach:
        """How far it goes: at another `price`, `to` a place, by a `road` distance, against a `carrier`'s price."""
        asked = reaches.Asked(str(price), "", to, road, str(carrier), False)
        return Reach(reaches.reach(self.path, self.shop, self.today, Path(), self.settings, asked, None))

    def compare(self, *others: str | Path, columns: tuple[Mapping[str, object], ...] = ()) -> Comparison:
        """Its options side by side, with `others` (job files), or with values tried in `columns` of their own."""
        tried = ["; ".join(texts_of(one)) for one in columns]
        jobs = [self.path, *map(Path, others)]
        return Comparison(risks.compare(jobs, self.shop, self.today, self.settings, tried))

    def sell(self, *, price: object = "", channel: str = "") -> Sale:
        """What it can be sold for through each channel, and what is left of a `price`."""
        return Sale(
            sales.sell(
                str(self.path), self.shop, self.today, Path(), self.settings, str(price), channel, None, False
            )
        )

    def cut(self, seconds: float | None = None) -> CutPlan:
        """The cut plans, searched so long for a better one [s]; as prices do where nothing is said."""
        asked = cuts.Asked(seconds, None, False)
        return CutPlan(cuts.cut(self.path, self.shop, self.today, self.settings, asked, _quiet, _never))

    def calendar(self) -> Calendar:
        """The days of the build."""
        return Calendar(pricing.calendar(self.path, self.shop, self.today, self.settings, None, False)[0])

    def quote(self, folder: str | Path, *, xml: bool = False, overwrite: bool = False) -> Quote:
        """Write the client's quote, the workbook and the maker's sheet into a folder, as drafts; all or none."""
        found, files = pricing.quote(
            self.path, self.shop, self.today, self.settings, Path(folder), overwrite, xml, _quiet
        )
        return Quote(found, tuple(files))


def _quiet(_: str) -> None:
    """Nobody watches."""


def _never() -> bool:
    """Nobody ends it."""
    return False
