"""From files to records: read, fill in, check, name. All problems of one run are raised together."""

import copy
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from quoting.advice import Advice
from quoting.errors import Path as InFile
from quoting.errors import Problem, Problems, refused, right
from quoting.job import paths
from quoting.job.book import read_job_book
from quoting.job.book_cells import SUFFIX
from quoting.job.brief import SOURCE, Brief, of_option, placed, with_ids, with_names
from quoting.job.job import Job, Piece
from quoting.job.job_rules import job_rules
from quoting.job.rules import PACE, shop_rules
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import Price, all_stock, read_prices
from quoting.job.validate import validated
from quoting.reading.sources import Source, collected, read_plain, read_toml
from quoting.reading.tables import Tables, tables, with_own_species
from quoting.trades.hardwood import SPECIES
from quoting.trades.parts import with_outlines
from quoting.trades.registry import missing
from quoting.values import Uncertain

SHOP_FILE, PRICE_FILE = "shop.toml", "prices.csv"


def shop_folder(job_path: Path, given: Path | None) -> Path:
    """Where the shop file is: the folder given, the job's own, or the one above it."""
    if given is not None:
        return given
    beside = job_path.resolve().parent
    for folder in (beside, beside.parent):
        if (folder / SHOP_FILE).is_file():
            return folder
    found = f"found no {SHOP_FILE} beside {job_path.name} or in the folder above"
    raise refused("", found, Advice("no_shop_beside"), code="no_shop", name=job_path.name)


def load(job_path: Path, shop: Path | None = None, settings: Sequence[str] = (), option: str = "") -> Brief:
    """Read a job with its shop and price book. Raises Problems with everything that is wrong.

    `settings` are `path=value` texts that stand in for values of the files; `option` names an
    option of the job that is carried out first.
    """
    return right(*read(job_path, shop, settings, option))


def read_job(path: Path) -> Source:
    """A job file, or a job that is filled in as a spreadsheet."""
    if path.name in (SHOP_FILE, PRICE_FILE):
        raise refused(
            "", "is no job", "name a job file, such as jobs/first-bench.toml", path.name, code="not_a_job"
        )
    return read_job_book(path) if path.suffix.lower() == SUFFIX else read_toml(path)


def read(
    job_path: Path, shop: Path | None = None, settings: Sequence[str] = (), option: str = ""
) -> tuple[Brief | None, list[Problem]]:
    """As `load`, but gives what could be read beside the problems; None where too little could."""
    problems: list[Problem] = []
    try:
        folder = shop_folder(job_path, shop)
    except Problems as error:
        collected(problems, job_path)
        return None, problems or error.problems
    job_source = collected(problems, job_path, read_job)
    shop_source = collected(problems, folder / SHOP_FILE)
    book, book_source = _book(folder / PRICE_FILE, problems)
    if job_source is None or shop_source is None:
        return None, [*problems, *(_shop_alone(shop_source)[1] if shop_source else [])]
    sources = (job_source, shop_source, book_source)
    raw_job, raw_shop = copy.deepcopy(job_source.raw), copy.deepcopy(shop_source.raw)
    tried = paths.parsed(settings, problems)
    changed = frozenset(path for path, _ in tried)
    book = paths.repriced(book, tried, problems)
    others = [one for one in tried if not one[0].startswith(paths.PRICES)]
    problems += [problem.at(SOURCE, 0) for problem in paths.apply(others, raw_job, raw_shop)]
    stands: dict[InFile, InFile] = {}
    if option:
        wrong, stands = _optioned(option, raw_job, raw_shop, job_source)
        problems += placed(wrong, sources, frozenset())

    def in_file(path: InFile, field: str) -> InFile:
        """Where the file has a value of the variant: at its own place, where the option adds its part, or sets it."""
        set_there = of_option(field.split("."), job_source.raw, option)
        own = (*stands.get(path[:2], path[:2]), *path[2:])
        return own if set_there is None or own[0] == "option" else set_there[0]

    job, wrong_job = validated(job_source, Job, raw_job, in_file)
    the_shop, wrong_shop = validated(shop_source, Shop, with_defaults(raw_shop))
    found = [*wrong_job, *wrong_shop, *(shop_rules(the_shop) if the_shop else [])]
    if job is not None:
        job, twice = with_ids(job)
        found += [*twice, *(job_rules(job, the_shop) if the_shop else [])]
        job, shapeless = with_outlines(_with_distance(job, the_shop))
        stock, tallies, unread = all_stock(job, job_path.resolve().parent)
        found += [*shapeless, *unread]
    problems += placed(found, sources, changed, option)
    if job is None or the_shop is None:
        return None, problems
    causes = _causes(job, the_shop)
    named = (with_names(job, "", causes), with_names(the_shop, "", causes))
    every = (*sources, *tallies)
    named_tables, raw = _tables_of(the_shop), (raw_job, raw_shop)
    brief = Brief(*named, book, named_tables, folder, every, raw, changed, stock, option=option)
    return brief, problems


def _with_distance(job: Job, shop: Shop | None) -> Job:
    """The job with the straight distance to its place, where it names one and the shop has one too."""
    delivery, home = job.delivery, shop.shop.place if shop is not None else None
    if home is None or delivery is None or delivery.place is None or delivery.straight_distance is not None:
        return job
    return replace(job, delivery=replace(delivery, straight_distance=straight_m(home, delivery.place)))


def straight_m(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Straight distance on the WGS84 ellipsoid between two pairs of degrees [m] (Karney 2013, by geographiclib)."""
    from geographiclib.geodesic import Geodesic

    found = Geodesic.WGS84.Inverse(*start, *end, outmask=Geodesic.DISTANCE)
    return float(found["s12"])


def _causes(job: Job, shop: Shop) -> dict[str, Uncertain]:
    """The factor of every cause, by the name that fields give it: the job's own, the shop's, and pace."""
    found = {f"cause.{PACE}": with_names(shop.pace.factor, "pace.factor", {})}
    for name, cause in {**shop.cause, **job.cause}.items():
        found[f"cause.{name}"] = with_names(cause.factor, f"cause.{name}.factor", {})
    return found


def _shop_alone(source: Source) -> tuple[Shop | None, list[Problem]]:
    """A shop file by itself, and what is wrong in it."""
    shop, wrong = validated(source, Shop, with_defaults(copy.deepcopy(source.raw)))
    return shop, placed([*wrong, *(shop_rules(shop) if shop else [])], (source, source), frozenset())


def _without_gone(raw: dict[str, Any]) -> dict[str, Any]:
    """Raw tables of a shop file without what only trades read that are gone; a standard time stays for the others it applies to."""
    kept = {name: rows for name, rows in copy.deepcopy(raw).items() if missing(name) is None}
    standards = kept.get("standard")
    for name, one in list(standards.items()) if isinstance(standards, dict) else ():
        if isinstance(one, dict) and isinstance(of := one.get("applies_to"), list):
            one["applies_to"] = [trade for trade in of if missing(str(trade)) is None]
            if of and not one["applies_to"]:
                del kept["standard"][name]
    return kept


def load_shop(folder: Path) -> Brief:
    """The shop file alone, for what needs no job; what trades read in it that cannot be reckoned any more is left aside. Raises Problems
    with everything that is wrong.
    """
    if not (folder / SHOP_FILE).is_file():
        wanted = Advice("name_shop")
        raise refused("", f"found no {SHOP_FILE} in {folder}", wanted, code="no_shop", folder=folder)
    source = read_toml(folder / SHOP_FILE)
    source = replace(source, raw=_without_gone(source.raw))
    shop = right(*_shop_alone(source))
    job = Job(format=1, piece=Piece(title="no job"))
    return Brief(job, shop, {}, _tables_of(shop), folder, (source, source, source), ({}, source.raw))


def price_book(folder: Path) -> dict[str, tuple[Price, ...]]:
    """The rows of a shop's price book that can be read, by item."""
    return _book(folder / PRICE_FILE, [])[0]


def _tables_of(shop: Shop) -> Tables:
    """The reference tables, with the shop's own timbers."""
    densities = {name: own.density for name, own in SPECIES.of(shop).items() if own.density is not None}
    return with_own_species(tables(), densities)


def _book(path: Path, problems: list[Problem]) -> tuple[dict[str, tuple[Price, ...]], Source]:
    source = collected(problems, path, read_plain)
    if source is None:
        return {}, Source(path.name, "", {}, "")
    book, wrong = read_prices(source.text)
    problems += [problem.at(path.name, problem.line) for problem in wrong]
    return book, source


def _optioned(
    option: str, raw_job: dict[str, Any], raw_shop: dict[str, Any], source: Source
) -> tuple[list[Problem], dict[InFile, InFile]]:
    job, problems = validated(source, Job, raw_job)
    if job is None:
        return problems, {}
    position, chosen = next((i, one) for i, one in enumerate(job.option) if one.name == option)
    return paths.with_option(position, chosen, raw_job, raw_shop)
