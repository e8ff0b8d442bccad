"""Commands that price a job, show how the figures come about, and write its papers and pictures as drafts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.cli.app import Answer, Job, Json, Overwrite, Settings, Shop, Strict, Xml, arg, command, this_day
from quoting.cli.as_json import Data, picked, piece_name, share
from quoting.cli.terminal import aside, block, blocks, progress, row, tell, whole_row, wrapped

if TYPE_CHECKING:
    from quoting.pricing.record import Priced


@command("pricing")
def price(
    job: Job,
    shop: Shop = None,
    setting: Settings = None,
    as_json: Json = False,
    strict: Strict = False,
    short: Annotated[bool, arg("--short", "Leave out how each quantity was reached.")] = False,
) -> Answer:
    """Show cost and price of a piece, line by line.

    By trade, then lines; the way from cost to price; what is not sure; warnings and cautions.
    """
    from quoting.cli.breakdown import breakdown
    from quoting.runs.pricing import price as recipe

    found = recipe(job, shop, this_day(), setting or ())
    said = price_data(found) if as_json else breakdown(found, short)
    return Answer(said, broken=found.policies_broken, strict=strict)


CURES = "A cure or drying time is that of the data sheet at its temperature: in the cold it takes longer."
LINE = "id trade part item stage quantity unit rate amount supplied measure basis source"


def price_data(found: Priced) -> Data:
    """A price for other programs."""
    chain, rules = found.chain, found.rules
    way = picked(
        chain,
        "margin markup floor_margin asked_margin ruled_by goods discount fees=fee_total fee_lines=fees"
        " delivery_extra surcharge net tax total stages",
        margin=share(chain.margin),
        markup=share(chain.markup),
        floor_margin=share(rules.floor),
        asked_margin=share(rules.margin),
        stages=[picked(one, "name net tax due total") for one in found.payments],
    )
    return picked(
        found,
        "job number currency date=day quantities lines cost price options buying unsure warnings cautions"
        " policies_broken starter_values inputs=sha256",
        job=piece_name(found.job),
        lines=[picked(line, LINE) for line in found.lines],
        price=way,
        cautions=[words for _, words in found.cautions],
    )


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
    return Answer("", written, found.policies_broken, strict=strict, more=summary(found))


@command()
def rates(
    folder: Annotated[Path, arg("[FOLDER]", "The shop folder.")] = Path(), as_json: Json = False
) -> Answer:
    """Show how each hour rate is built up.

    Of pay, of overhead and of every machine, and what may have been counted twice.
    """
    from quoting.runs.pricing import rates as recipe

    found, doubles, currency = recipe(folder)
    if as_json:
        by_name = {rate.name: picked(rate, "per_hour words") for rate in found}
        return Answer({"currency": currency, "rates": by_name, "counted_twice": doubles})
    rows = []
    for rate in found:
        rows += [row(f"  {rate.name}", f"{rate.per_hour:,.2f}"), aside(rate.words, "      ")]
    twice = block("Counted twice?", (wrapped(words, "  ") for words in doubles))
    return Answer(blocks(block(f"An hour in {currency}", rows), twice))


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
    return Answer(_calendar_text(found), written)


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
