"""What an issued quote freezes: everything that was read, written and reckoned."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from quoting.job.defaults import starter_text, untold
from quoting.job.wording import WORDING
from quoting.ledger.files import DOCUMENT, RESULT, SOURCE, Kept
from quoting.ledger.frozen import frozen
from quoting.ledger.quotes import Face
from quoting.logbook.piece import result_name
from quoting.pricing.stored import records
from quoting.trades.registry import missing, trades

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from quoting.declaration import Trade
    from quoting.job.brief import Brief
    from quoting.job.job import Job
    from quoting.pricing.record import Priced
    from quoting.runs.pricing import Checked


JOBS, TALLIES = "jobs/", "tallies/"
"""How the names of kept job files and tallies begin."""

FILES = 3
"""Job file, shop file, price book: sources of a brief beyond them are tallies."""


def face_of(result: Priced) -> Face:
    """What an issued quote says of itself in lists."""
    return Face(
        day=result.day,
        valid_until=result.valid_until,
        title=result.job.piece.title,
        client=result.job.client.name,
        basis=result.job.piece.basis,
        currency=result.currency,
        digits=result.digits,
        total=result.chain.total,
    )


def kept_with(
    checked: Checked, job: Path, result: Priced, options: dict[str, Priced], files: dict[str, bytes]
) -> Iterator[Kept]:
    """Everything a quote freezes: what was read, what was written, what was reckoned."""
    yield from sources(checked, job)
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
    foreign = {
        section.name
        for one in trades().values()
        for section in one.sections
        if one.outside and one not in named
    }
    sections = {name: one for name, one in result.shop.sections.items() if name not in foreign}
    return replace(result, shop=replace(result.shop, sections=sections), outside=named)


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
    yield Kept(SOURCE, f"{JOBS}{job.stem}.toml", brief.sources[0].text.encode())
    for tally in brief.sources[FILES:]:
        yield Kept(SOURCE, f"{TALLIES}{tally.name}", tally.text.encode())


def put_job(kept: Mapping[str, bytes], into: Path) -> Path:
    """Write a job file as it was kept into a folder of its own in `into`, and its tallies where it names them."""
    folder = into / JOBS
    folder.mkdir(exist_ok=True)
    for name, data in kept.items():
        if name.startswith(TALLIES):
            path = (folder / name.removeprefix(TALLIES)).resolve()
            if path.is_relative_to(folder.resolve()):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
    path = folder / "job.toml"
    path.write_bytes(next(data for name, data in kept.items() if name.startswith(JOBS)))
    return path


def sources(checked: Checked, job: Path) -> Iterator[Kept]:
    """Job, shop and prices as they were read, the words and pictures of the quote, and the starter values in force."""
    brief: Brief = checked.brief
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
