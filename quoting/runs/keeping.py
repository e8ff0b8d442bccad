"""Everything a quote freezes: files as they were read, words, pictures, results, and what it was made with; and fingerprints of it."""

import hashlib
import json
import platform
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

from quoting import __version__
from quoting.declaration import Trade
from quoting.errors import Problem
from quoting.job.brief import Brief
from quoting.job.former import file_of_today
from quoting.job.job import Job
from quoting.job.starters import WORDING, shipped, starter_text, untold
from quoting.ledger.frozen import DOCUMENT, RESULT, SOURCE, Kept, frozen
from quoting.logbook.piece import result_name
from quoting.pricing.record import Priced
from quoting.pricing.stored import records
from quoting.runs.pricing import Checked
from quoting.trades.registry import missing, sections, trades

KEPT_JOBS, TALLIES = "jobs/", "tallies/"
"""How the names of kept job files and tallies begin."""

FILES = 3
"""Job file, shop file, price file: sources of a brief beyond them are tallies."""

PACKAGES = ("babel", "numpy", "openpyxl", "pillow", "pint", "reportlab")
TEMPLATES = ("shop.toml", "wording.toml", "fonts/DejaVuSans.ttf", "fonts/DejaVuSans-Bold.ttf")
"""What a quote is made with, beside the engine."""

THE_DAY = "the day of the quote"


def kept_with(
    checked: Checked, job: Path, result: Priced, options: dict[str, Priced], files: dict[str, bytes]
) -> Iterator[Kept]:
    """Everything a quote freezes: job, shop and prices as they were read, its words and pictures, the starter values in
    force; what was written; what was reckoned.
    """
    brief = checked.brief
    yield from job_sources(brief, job)
    for source in brief.sources[1:FILES]:
        yield Kept(SOURCE, source.name, source.text.encode())
    own = brief.folder / WORDING
    if own.is_file():
        yield Kept(SOURCE, WORDING, own.read_bytes())
    for name, data in (("picture", checked.picture), ("logo", checked.logo)):
        if data is not None:
            yield Kept(SOURCE, name, data)
    yield Kept(SOURCE, "starter values.toml", starter_text("shop.toml", untold(brief.job)).encode())
    for name, data in files.items():
        yield Kept(DOCUMENT, name, data)
    yield from results(checked.brief, result, options)


def results(brief: Brief, result: Priced, options: dict[str, Priced]) -> Iterator[Kept]:
    """The frozen price of a piece and of each of its options."""
    for name, one in (("", result), *options.items()):
        yield Kept(RESULT, result_name(name), frozen(declaring(brief, one), records()))


def declaring(brief: Brief, result: Priced) -> Priced:
    """A price with the declarations of trades that other packages brought to it, and nothing of those that they did not."""
    named = outside_of(brief, result.job)
    foreign = {name for name, (trade, _) in sections().items() if trade.outside and trade not in named}
    kept = {name: one for name, one in result.shop.sections.items() if name not in foreign}
    return replace(result, shop=replace(result.shop, sections=kept), outside=named)


def outside_of(brief: Brief, job: Job) -> tuple[Trade, ...]:
    """Trades of other packages that a job has parts of, or that its files name."""
    text, shop = (source.raw for source in brief.sources[:2])
    standards = shop.get("standard", {}).values()
    named = {*job.parts, *text, *shop, *(name for one in standards for name in one.get("applies_to", ()))}
    return tuple(
        one
        for one in trades().values()
        if one.outside
        and missing(one.name) is None
        and named & {one.name, *(section.name for section in one.sections)}
    )


def job_sources(brief: Brief, job: Path) -> Iterator[Kept]:
    """The job file, and the tallies that it names, as they were read."""
    yield Kept(SOURCE, f"{KEPT_JOBS}{job.stem}.toml", brief.sources[0].text.encode())
    for tally in brief.sources[FILES:]:
        yield Kept(SOURCE, f"{TALLIES}{tally.name}", tally.text.encode())


def put_job(kept: Mapping[str, bytes], into: Path) -> Path:
    """Write a job file as it was kept into a folder of its own in `into`, and its tallies where it names them."""
    folder = into / KEPT_JOBS
    folder.mkdir(exist_ok=True)
    for name, data in kept.items():
        if name.startswith(TALLIES):
            path = (folder / name.removeprefix(TALLIES)).resolve()
            if path.is_relative_to(folder.resolve()):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
    path = folder / "job.toml"
    data = next(data for name, data in kept.items() if name.startswith(KEPT_JOBS))
    path.write_bytes(file_of_today(data.decode()).encode())
    return path


def made_with(outside: Iterable[Trade]) -> dict[str, str]:
    """Names and versions, with the packages that bring trades from outside; a template's version is its fingerprint."""
    found = {"engine": __version__, "python": platform.python_version()}
    found |= {name: version(name) for name in PACKAGES}
    found |= dict(one.outside.rsplit(" ", 1) for one in outside)
    for name in TEMPLATES:
        data = shipped("templates").joinpath(name).read_bytes()
        found[f"templates/{name}"] = hashlib.sha256(data).hexdigest()
    return found


def fingerprints(checked: Checked, result: Priced) -> dict[str, str]:
    """What a price rests on, by what a maker calls it: its files, its words, its pictures, its day and the engine. The same ones give the
    same quote.
    """
    brief, house = checked.brief, checked.brief.shop.shop
    words = json.dumps(checked.words, default=dict, sort_keys=True).encode()
    seen = {WORDING: words, brief.job.piece.picture: checked.picture, house.logo: checked.logo}
    found = {source.name: source.sha256 for source in brief.sources}
    found |= {name: hashlib.sha256(data).hexdigest() for name, data in seen.items() if data is not None}
    return found | {THE_DAY: result.day.isoformat(), "quoting": __version__}


def changed_since(now: Mapping[str, str], then: Mapping[str, str]) -> Iterator[Problem]:
    """What differs from the fingerprints that somebody agreed to."""
    for name in {**then, **now}:
        if now.get(name) != then.get(name):
            how = "new" if name not in then else "gone" if name not in now else "changed"
            found, wanted = f"{how} since the quote was shown", "look at it once more, then confirm it"
            yield Problem.of("", found, wanted, "changed", now=now.get(name), then=then.get(name)).at(name)
