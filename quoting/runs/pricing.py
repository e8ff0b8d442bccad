"""Starting a shop, checking and pricing a job, writing its documents as drafts."""

import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.errors import Halted, Problem, Problems, refused, right
from quoting.job.brief import Brief
from quoting.job.files import PRICE_FILE, Given, called, files_of, path_of_job
from quoting.job.load import load_shop
from quoting.job.starters import shipped, starter_text, starter_values
from quoting.money import minor_digits
from quoting.nesting.pattern import Limit, usual
from quoting.pricing.in_brief import Share
from quoting.pricing.outlook import unsure
from quoting.pricing.price import priced, shown_rates
from quoting.pricing.record import Priced, RateShown, Variant, Warned
from quoting.pricing.sold_hour import SoldHour, sold_hour, where_it_goes
from quoting.runs.seen import Settings, seen, shown_with
from quoting.written import write_all, wrote

Tell = Callable[[str], None]
"""Tells a maker something beside the answer: what is being done, or what to mind. Long work tells each step before it takes it; what is
raised then ends the work there.
"""

Halt = Callable[[], bool]
"""Asked between the steps of long work: true where it is to end."""

XML = " quote.xml"
"""How the name of an electronic quote ends."""


def halting(step: Tell, halt: Halt) -> Tell:
    """Tells steps as `step` does, and ends the work before the next one where `halt` says so: raises Halted."""

    def told(words: str) -> None:
        if halt():
            raise Halted
        step(words)

    return told


def start(folder: Path) -> list[str]:
    """Make a shop folder from the starter files; refuses a folder that exists and is not empty."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refused(
            "", f"found {folder}, which is not empty", "name a new folder", code="file_exists", folder=folder
        )
    folder.parent.mkdir(parents=True, exist_ok=True)
    prices = shipped("templates").joinpath(PRICE_FILE)
    files = {"shop.toml": "shop.toml", "prices.csv": "prices.csv", "job.toml": "jobs/first-bench.toml"}
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".quoting-") as made:
        for source, target in files.items():
            path = Path(made, "shop", target)
            path.parent.mkdir(parents=True, exist_ok=True)
            text = starter_text(source) if source != PRICE_FILE else prices.read_text(encoding="utf-8")
            path.write_text(text, encoding="utf-8")
        if folder.exists():
            folder.rmdir()
        shutil.move(Path(made, "shop"), folder)
    return list(files.values())


class Checked(NamedTuple):
    """Everything a job needs, read once and found right: a brief, one for each option, words and pictures. It is priced on the day
    `today`, where it names no other.
    """

    brief: Brief
    options: dict[str, Brief]
    words: Mapping[str, Mapping[str, str]]
    picture: bytes | None
    logo: bytes | None
    today: date


def check(
    job: Given, shop: Path | None, today: date, settings: Settings = (), with_options: bool = True
) -> Checked:
    """Read everything a job needs; its options, too, unless nothing is asked of them. Problems with all that is wrong."""
    files = files_of(job, shop)
    found = seen(files, settings)
    problems = list(found.problems)
    if found.brief is None:
        raise Problems(problems)
    options: dict[str, Brief] = {}
    for option in found.brief.job.option if with_options else ():
        variant = seen(files, settings, option.name)
        fresh = [one for one in variant.problems if one not in problems]
        problems += [replace(one, field=f"option {option.name}: {one.field}") for one in fresh]
        if variant.brief is not None:
            options[option.name] = variant.brief
    shown = shown_with(found.brief, files)
    problems += shown.problems
    return right(Checked(found.brief, options, shown.words, shown.picture, shown.logo, today), problems)


def read_brief(
    job: Given,
    shop: Path | None,
    settings: Settings,
    option: str = "",
    limits: Callable[[int], Limit] = usual,
) -> tuple[Brief | None, list[Problem]]:
    """A brief and all its problems; what can be reckoned is checked even where something else is wrong."""
    found = seen(files_of(job, shop), settings, option, limits)
    return found.brief, list(found.problems)


def price(job: Given, shop: Path | None, today: date, settings: Settings = ()) -> Priced:
    """Price a job, and each of its options in its place."""
    return with_options(check(job, shop, today, settings))[0]


def priced_alone(checked: Checked) -> Priced:
    """The price of a job without its options, for what does not ask for them."""
    brief = checked.brief
    return priced(brief, checked.today, checked.words, starter_values(brief.sources[1].raw, brief.job))


def with_options(checked: Checked) -> tuple[Priced, dict[str, Priced]]:
    """The price of a job, and by name of each of its options in its place."""
    brief, words, today = checked.brief, checked.words, checked.today
    starter = starter_values(brief.sources[1].raw, brief.job)
    result = priced_alone(checked)
    options = {name: priced(option, today, words, starter) for name, option in checked.options.items()}
    variants = tuple(Variant(one.name, one.words, options[one.name].chain.total) for one in brief.job.option)
    return replace(result, unsure=unsure(brief), options=variants), options


def quote(
    job: Given,
    shop: Path | None,
    today: date,
    settings: Settings,
    out: Path | None,
    overwrite: bool,
    xml: bool,
    step: Tell,
) -> tuple[Priced, list[Path]]:
    """Write the quote, the workbook and the maker's sheet of a job beside it, or into `out`; all or none. With
    `xml` the quote as an electronic document, too.

    A file that someone changed since it was written is left alone unless `overwrite` is true.
    """
    step("pricing")
    checked = check(job, shop, today, settings)
    result, _ = with_options(checked)
    name, origin = called(job)
    path = path_of_job(job)
    folder = out or (path.resolve().parent if path is not None else checked.brief.folder)
    # An electronic quote that was written before would say the old price beside the new paper.
    xml = xml or wrote(folder, f"{name}{XML}", origin)
    result, files = documents(result, checked, name, xml, step)
    written = write_all(folder, files, origin, overwrite)
    return result, written


def documents(
    result: Priced, checked: Checked, name: str, xml: bool, step: Tell
) -> tuple[Priced, dict[str, bytes]]:
    """Quote, workbook and maker's sheet by file name, with `xml` the electronic quote; the price with what the
    pages warned of.
    """
    from quoting.documents.bench.sheet import maker_sheet_bytes
    from quoting.documents.quote.pdf import quote_bytes
    from quoting.documents.workbook.workbook import workbook_bytes
    from quoting.formulas.plan import live_plan
    from quoting.pricing.channels import channels_of
    from quoting.pricing.outlook import outlook_of

    step("drawing")
    sure = None
    try:
        sure = outlook_of(checked.brief, result)
    except Problems as clipped:  # a price that rests on no draws stands without them
        left_out = "how sure the price is was left out"
        warned = (
            Warned("clipped", one.field, f"{one.found}: {left_out}", one.file, one.path, one.values)
            for one in clipped.problems
        )
        result = replace(result, warnings=(*result.warnings, *warned))
    step("writing the quote")
    pdf, lacking = quote_bytes(result, checked.picture, checked.logo)
    step("writing the workbook")
    bench, more = maker_sheet_bytes(result, sure)
    fields = {one.field for one in lacking}
    rest = (one for one in more if one.field not in fields)
    result = replace(result, warnings=(*result.warnings, *lacking, *rest))
    channels = channels_of(checked.brief, result)
    sheet = workbook_bytes(result, live_plan(checked.brief), sure, channels)
    files = {f"{name} quote.pdf": pdf, f"{name} breakdown.xlsx": sheet, f"{name} maker sheet.pdf": bench}
    if xml:
        from quoting.documents.open_forms import electronic_quote_bytes

        files[f"{name}{XML}"] = electronic_quote_bytes(result)
    return result, files


def calendar(
    job: Given, shop: Path | None, today: date, settings: Settings, out: Path | None, overwrite: bool
) -> tuple[Priced, list[Path]]:
    """The price of a job, which holds its days; written as an iCalendar file where a folder is named."""
    priced = priced_alone(check(job, shop, today, settings, with_options=False))
    if out is None:
        return priced, []
    from quoting.documents.open_forms import calendar_bytes

    files = {f"{called(job).name} days.ics": calendar_bytes(priced)}
    return priced, write_all(out, files, called(job).origin, overwrite)


class Rates(NamedTuple):
    """What a sold hour must bring and where that goes, the hour rates of a shop, what may be counted twice in them; currency and margin."""

    sold: SoldHour
    goes: tuple[Share, ...]
    rates: tuple[RateShown, ...]
    counted_twice: list[str]
    currency: str
    margin: float


def rates(folder: Path) -> Rates:
    """The hours of a shop in money. Raises Problems with everything that is wrong in its file."""
    from quoting.costing.rates import double_counts

    if folder.is_file():
        raise refused(
            "", "is a file", "name the shop folder, which holds shop.toml", str(folder), code="file_kind"
        )
    brief = load_shop(folder)
    shop, sold = brief.shop, sold_hour(brief)
    currency, doubles = shop.shop.currency, double_counts(shop)
    goes = where_it_goes(sold, minor_digits(currency))
    return Rates(sold, goes, shown_rates(brief), doubles, currency, shop.pricing.margin)
