"""A job from Python: read it once, ask it what the commands answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quoting.api.of_job import Calendar, Checked, CutPlan, Price, Quote
from quoting.api.of_selling import Comparison, Reach, Risk, Sale
from quoting.api.result import never, quiet, texts_of
from quoting.job.files import Given, path_of_job
from quoting.runs import cut as cuts
from quoting.runs import pricing
from quoting.runs import reach as reaches
from quoting.runs import risk as risks
from quoting.runs import sell as sales
from quoting.runs.answer import answer
from quoting.runs.finding import job_file

NOTHING: Mapping[str, object] = {}


def load(
    job: Given,
    shop: str | Path | None = None,
    settings: Mapping[str, object] = NOTHING,
    *,
    today: date | None = None,
) -> Job:
    """A job to ask. `job` is the path of its file, its text (of more than one line), or tables as TOML makes them; `shop` the shop
    folder, which a job that is no file needs, and else is its own or the one above; `settings` are values to try by their path, such as
    {"pricing.margin": "35 %"}; `today` is the day it is priced for where it names none. Raises quoting.Problems with all that is wrong.
    """
    found = _job(job, shop, settings, today)
    pricing.check(found.given, found.shop, found.today, found.settings)
    return found


def check(
    job: Given,
    shop: str | Path | None = None,
    settings: Mapping[str, object] = NOTHING,
    *,
    today: date | None = None,
) -> Checked:
    """A job read whatever is wrong in it: what can be priced of it, and every problem with its place. Raises nothing for a maker's mistake."""
    found = _job(job, shop, settings, today)
    return Checked(answer(found.given, found.shop, found.settings, found.today))


def _job(job: Given, shop: str | Path | None, settings: Mapping[str, object], today: date | None) -> Job:
    folder = None if shop is None else Path(shop)
    path = path_of_job(job)
    job = job if path is None else job_file(path, folder)
    return Job(job, folder, tuple(texts_of(settings)), date.today() if today is None else today)


@dataclass(frozen=True, slots=True)
class Job:
    """A job that was found right. Each answer reads its files anew: who edits them meanwhile is answered by what stands there."""

    given: Given
    shop: Path | None
    settings: tuple[str, ...]
    today: date

    def price(self) -> Price:
        """Cost and price, line by line; its options in its place."""
        return Price(pricing.price(self.given, self.shop, self.today, self.settings))

    def risk(self, draws: int | None = None, seed: int | None = None) -> Risk:
        """How sure the price is. `draws` and `seed` else as job and shop say."""
        return Risk(
            risks.risk(self.given, self.shop, self.today, self.settings, draws, seed, None, False, quiet)
        )

    def reach(self, *, price: object = "", to: str = "", road: str = "", carrier: object = "") -> Reach:
        """How far it goes: at another `price`, `to` a place, by a `road` distance, against a `carrier`'s price."""
        asked = reaches.Asked(str(price), "", to, road, str(carrier), False)
        return Reach(reaches.reach(self.given, self.shop, self.today, Path(), self.settings, asked, None))

    def compare(self, *others: Given, columns: tuple[Mapping[str, object], ...] = ()) -> Comparison:
        """Its options side by side, with `others` (jobs), or with values tried in `columns` of their own."""
        tried = ["; ".join(texts_of(one)) for one in columns]
        jobs = [self.given, *others]
        return Comparison(risks.compare(jobs, self.shop, self.today, self.settings, tried))

    def sell(self, *, price: object = "", channel: str = "") -> Sale:
        """What it can be sold for through each channel, and what is left of a `price`."""
        return Sale(
            sales.sell(
                self.given, self.shop, self.today, Path(), self.settings, str(price), channel, None, False
            )
        )

    def cut(self, seconds: float | None = None) -> CutPlan:
        """The cut plans, searched so long for a better one [s]; as prices do where nothing is said."""
        asked = cuts.Asked(seconds, None, False)
        return CutPlan(cuts.cut(self.given, self.shop, self.today, self.settings, asked, quiet, never))

    def calendar(self) -> Calendar:
        """The days of the build."""
        return Calendar(pricing.calendar(self.given, self.shop, self.today, self.settings, None, False)[0])

    def quote(self, folder: str | Path, *, xml: bool = False, overwrite: bool = False) -> Quote:
        """Write the client's quote, the workbook and the maker's sheet into a folder, as drafts; all or none."""
        found, files = pricing.quote(
            self.given, self.shop, self.today, self.settings, Path(folder), overwrite, xml, quiet
        )
        return Quote(found, tuple(files))
