"""Commands that price a job, show how the figures come about, and write its papers and pictures as drafts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import price_data
from quoting.as_data.record import problem_data
from quoting.cli.app import (
    Answer,
    Job,
    Json,
    Overwrite,
    Settings,
    Shop,
    Strict,
    Xml,
    arg,
    command,
    same,
    this_day,
)
from quoting.cli.terminal import block, blocks, progress, tell, whole_row, wrapped
from quoting.errors import Exit, Problems

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


@command("pricing")
def price(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    as_json: Json = False,
    strict: Strict = False,
    details: Annotated[
        bool, arg("--details", "Every line, and how its quantity was reached; all warnings and cautions.")
    ] = False,
    short: Annotated[bool, arg("--short", "With the lines, but not how each quantity was reached.")] = False,
) -> Answer:
    """Say what a piece must cost its buyer, what it earns you, and where the price goes.

    With --details by trade, then lines; the way from cost to price; what is not sure; warnings and cautions.
    """
    from quoting.cli.breakdown import breakdown, price_answer
    from quoting.runs.pricing import price as recipe

    try:
        found = recipe(job, shop, this_day(), setting or ())
    except Problems as wrong:
        if not as_json:
            raise
        return _told(wrong, job, shop, setting or ())
    brief = not (details or short)
    said = price_data(found) if as_json else price_answer(found) if brief else breakdown(found, short)
    quote = ("quote", job, *same(shop, setting))
    return Answer(said, broken=found.policies_broken, strict=strict, next=quote, brief=brief)


CURES = "A cure or drying time is that of the data sheet at its temperature: in the cold it takes longer."


def _told(wrong: Problems, job: Path, shop: Path | None, settings: Sequence[str]) -> Answer:
    """What is wrong as data, with the warnings of what can be priced all the same."""
    from quoting.runs.answer import answer

    found = answer(job, shop, settings, this_day())
    warnings = found.priced.warnings if found.priced is not None else ()
    return Answer(problem_data("terminal", wrong.problems, warnings, found.left_out), status=Exit.WRONG_FILES)


@command()
def quote(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    out: Annotated[Path | None, arg("--out", "Where to write [default: beside the job].", "FOLDER")] = None,
    xml: Xml = False,
    overwrite: Overwrite = False,
    strict: Strict = False,
) -> Answer:
    """Write the client's PDF, your workbook and your sheet for the bench.

    The PDF shows no cost, margin or hours. The workbook's formulas are live down to marked cells.
    """
    from quoting.cli.breakdown import summary
    from quoting.runs.pricing import quote as recipe

    found, written = recipe(job, shop, this_day(), setting or (), out, overwrite, xml, progress)
    after = ("issue", job, *same(shop))
    return Answer("", written, found.policies_broken, strict=strict, more=summary(found), next=after)


@command("pricing")
def calendar(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    out: Annotated[
        Path | None, arg("--out", "Write there a file that calendars take in (iCalendar).", "FOLDER")
    ] = None,
    overwrite: Overwrite = False,
) -> Answer:
    """Show the days of a build: waiting, bench, rounds and pours with their cures, coats, hand-over.

    Counted from the day of the quote, as day 0.
    """
    from quoting.runs.pricing import calendar as recipe

    found, written = recipe(job, shop, this_day(), setting or (), out, overwrite)
    after = ["calendar", job, *same(shop, setting), "--out", "days"] if out is None else []
    return Answer(_calendar_text(found), written, next=after)


def _calendar_text(priced: Priced) -> str:
    week = priced.shop.shop.week
    over = "Over by a day: on that morning nothing of it is left to do or to wait for."
    spread = f"Work is spread evenly: {week.hours:g} h fill a week of {week.days:g} days and its days off."
    notes = "\n".join(wrapped(one) for one in (over, spread, CURES))
    return blocks(block(f"The days of {priced.job.piece.title}", _days(priced)), notes)


def _days(priced: Priced) -> Iterator[str]:
    """A row for every stage: what it is, and from when to when."""
    from quoting.documents.bench.sections import stage_rows
    from quoting.documents.bench.text import MakerText
    from quoting.documents.paper.text import Ink, glyphs

    text = MakerText(priced, Ink(glyphs()))
    yield f"  order everything on day 0, {text.long_day(priced.day)}"
    for stage in stage_rows(priced, text):
        start, end = (stage.first - priced.day).days, (stage.last - priced.day).days
        days = f"day {end}, {text.day(stage.last)}"
        if start != end:
            days = f"day {start} to {end}, over by {text.day(stage.last)}"
        yield whole_row(f"  {stage.name}", days)


@command()
def pictures(
    job: Job,
    out: Annotated[Path, arg("--out", "Where to write, as SVG, PNG and pages of a PDF.", "FOLDER")],
    shop: Shop = None,
    setting: Settings = None,
    overwrite: Overwrite = False,
) -> Answer:
    """Draw every picture of a job.

    What it costs, how the price comes about, how sure it is, how far it goes, how it is built, cut, and when.
    """
    from quoting.runs.pictures import pictures as recipe

    return Answer("", recipe(job, shop, this_day(), setting or (), out, overwrite, progress, tell))
