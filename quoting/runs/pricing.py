"""Starting a shop, checking and pricing a job, writing its documents as drafts."""

import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

from quoting.cut_plans.plan import with_plans
from quoting.errors import Problem, Problems, Reading, refused, right
from quoting.job.brief import SOURCE, Brief
from quoting.job.load import PRICE_FILE, SHOP_FILE, load_shop, read
from quoting.job.starters import shipped, starter_text, starter_values, wording
from quoting.measures.spelling import quoted
from quoting.money import minor_digits
from quoting.nesting.pattern import Limit, usual
from quoting.pricing.in_brief import Share
from quoting.pricing.outlook import unsure
from quoting.pricing.price import priced, problems_of, shown_rates
from quoting.pricing.record import Priced, RateShown, Variant, Warned
from quoting.pricing.sold_hour import SoldHour, sold_hour, where_it_goes
from quoting.reading.sources import Wanted, file_beside
from quoting.written import write_all, wrote

Settings = Sequence[str]
"""Values tried without touching a file, each as path=value."""

Tell = Callable[[str], None]
"""Tells a maker something beside the answer: what is being done, or what to mind."""

XML = " quote.xml"
"""How the name of an electronic quote ends."""

LARGEST_PICTURE_MB = 20
NAME_A_PICTURE = "write the name of a PNG or JPEG in the folder of this file, such as bench.jpg"
PICTURE = Wanted((".png", ".jpg", ".jpeg"), "PNG or JPEG", "picture", NAME_A_PICTURE)


def start(folder: Path) -> list[str]:
    """Make a shop folder from the starter files; refuses a folder that exists and is not empty."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refused("", f"found {folder}, which is not empty", "name a new folder")
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
    """Everything a job needs, read once and found right: a brief, one for each option, words and pictures."""

    brief: Brief
    options: dict[str, Brief]
    words: Mapping[str, Mapping[str, str]]
    picture: bytes | None
    logo: bytes | None


def check(job: Path, shop: Path | None, settings: Settings = ()) -> Checked:
    """Read everything a job needs. Problems with all that is wrong."""
    brief, problems = read_brief(job, shop, settings)
    if brief is None:
        raise Problems(problems)
    options: dict[str, Brief] = {}
    for option in brief.job.option:
        variant, wrong = read_brief(job, shop, settings, option.name)
        fresh = [one for one in wrong if one not in problems]
        problems += [replace(one, field=f"option {option.name}: {one.field}") for one in fresh]
        if variant is not None:
            options[option.name] = variant
    words = wording(brief.folder, problems)
    picture = _picture(job.resolve().parent, brief.job.piece.picture, "piece.picture", brief, problems)
    logo = _picture(brief.folder, brief.shop.shop.logo, "shop.logo", brief, problems)
    return right(Checked(brief, options, words, picture, logo), problems)


def read_brief(
    job: Path, shop: Path | None, settings: Settings, option: str = "", limits: Callable[[int], Limit] = usual
) -> tuple[Brief | None, list[Problem]]:
    """A brief and all its problems; what can be reckoned is checked even where something else is wrong."""
    brief, problems = read(job, shop, settings, option)
    unsound = any(one.file in (SHOP_FILE, SOURCE) or one.field.endswith("channel") for one in problems)
    if brief is not None and not unsound:
        brief, unplanned = with_plans(brief, limits)
        problems += brief.placed(unplanned)
        book_read = not any(problem.file == PRICE_FILE for problem in problems)
        problems += [problem for problem in problems_of(brief, book_read) if problem not in problems]
    return brief, problems


def price(job: Path, shop: Path | None, settings: Settings = ()) -> Priced:
    """Price a job, and each of its options in its place."""
    return with_options(check(job, shop, settings))[0]


def priced_alone(checked: Checked) -> Priced:
    """The price of a job without its options, for what does not ask for them."""
    brief = checked.brief
    return priced(brief, date.today(), checked.words, starter_values(brief.sources[1].raw, brief.job))


def with_options(checked: Checked) -> tuple[Priced, dict[str, Priced]]:
    """The price of a job, and by name of each of its options in its place."""
    brief, words, today = checked.brief, checked.words, date.today()
    starter = starter_values(brief.sources[1].raw, brief.job)
    result = priced_alone(checked)
    options = {name: priced(option, today, words, starter) for name, option in checked.options.items()}
    variants = tuple(Variant(one.name, one.words, options[one.name].chain.total) for one in brief.job.option)
    return replace(result, unsure=unsure(brief), options=variants), options


def quote(
    job: Path, shop: Path | None, settings: Settings, out: Path | None, overwrite: bool, xml: bool, step: Tell
) -> tuple[Priced, list[Path]]:
    """Write the quote, the workbook and the maker's sheet of a job beside it, or into `out`; all or none. With
    `xml` the quote as an electronic document, too.

    A file that someone changed since it was written is left alone unless `overwrite` is true.
    """
    step("pricing")
    checked = check(job, shop, settings)
    result, _ = with_options(checked)
    folder = out if out is not None else job.resolve().parent
    origin = str(job.resolve())
    # An electronic quote that was written before would say the old price beside the new paper.
    xml = xml or wrote(folder, f"{job.stem}{XML}", origin)
    result, files = documents(result, checked, job.stem, xml, step)
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
        warned = (Warned("clipped", one.field, f"{one.found}: {left_out}") for one in clipped.problems)
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
    job: Path, shop: Path | None, settings: Settings, out: Path | None, overwrite: bool
) -> tuple[Priced, list[Path]]:
    """The price of a job, which holds its days; written as an iCalendar file where a folder is named."""
    priced = priced_alone(check(job, shop, settings))
    if out is None:
        return priced, []
    from quoting.documents.open_forms import calendar_bytes

    files = {f"{job.stem} days.ics": calendar_bytes(priced)}
    return priced, write_all(out, files, str(job.resolve()), overwrite)


def _picture(folder: Path, name: str, field: str, brief: Brief, problems: list[Problem]) -> bytes | None:
    """A picture that a file in `folder` names; None where it names none, or one that cannot be printed: then a problem is noted."""
    from quoting.documents.paper.picture import printable

    if not name:
        return None
    try:
        path = file_beside(folder, name, PICTURE)
        size_mb = path.stat().st_size / 1_000_000
        if size_mb > LARGEST_PICTURE_MB:
            wanted = f"write the name of a picture of at most {LARGEST_PICTURE_MB} MB"
            raise Reading(f"found {quoted(name)} of {size_mb:.1f} MB", wanted)
        return printable(path.read_bytes())
    except Reading as reading:
        problems += brief.placed([reading.problem(field)])
        return None


class Rates(NamedTuple):
    """What a sold hour must bring and where that goes, the hour rates of a shop, what may be counted twice in them; currency and margin."""

    sold: SoldHour
    goes: tuple[Share, ...]
    shown: tuple[RateShown, ...]
    doubles: list[str]
    currency: str
    margin: float


def rates(folder: Path) -> Rates:
    """The hours of a shop in money."""
    from quoting.costing.rates import double_counts

    if folder.is_file():
        raise refused("", "is a file", "name the shop folder, which holds shop.toml", str(folder))
    brief = load_shop(folder)
    shop, sold = brief.shop, sold_hour(brief)
    currency, doubles = shop.shop.currency, double_counts(shop)
    goes = where_it_goes(sold, minor_digits(currency))
    return Rates(sold, goes, shown_rates(brief), doubles, currency, shop.pricing.margin)
