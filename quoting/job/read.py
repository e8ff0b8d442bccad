"""A job as far as it can be read: filled in, checked, named; what cannot be read hides nothing of what can."""

import copy
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import Any, NamedTuple

from quoting.errors import Path, Problem
from quoting.job import paths
from quoting.job.brief import SOURCE, Brief, of_option, option_at, path_of, placed, with_ids, with_names
from quoting.job.files import SHOP_FILE, Files, no_file
from quoting.job.form import keys_at
from quoting.job.holes import job_with_holes, shop_with_holes
from quoting.job.job import Job
from quoting.job.job_rules import job_rules
from quoting.job.rules import PACE, shop_rules
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import StockRow, all_stock
from quoting.job.validate import validated
from quoting.reading.sources import Source
from quoting.reading.tables import Tables, tables, with_own_species
from quoting.trades import parts
from quoting.trades.hardwood import SPECIES
from quoting.trades.parts import with_outlines
from quoting.unread import Partly, Unread, hollow, replaced
from quoting.values import Uncertain

InFile = Callable[[Path, str], Path]
"""Where a file has what stands at a path of the raw tables, and is called so."""


class Read(NamedTuple):
    """A job as far as it can be read: its brief, without parts that are wrong, None where head or shop are wrong; all that is wrong.

    `sound` is true where nothing is wrong that the take-off of the other parts rests on; `left_out` are the names of parts that are wrong.
    """

    brief: Brief | None
    problems: list[Problem]
    sound: bool = False
    left_out: tuple[str, ...] = ()


def read(files: Files, settings: Sequence[str] = (), option: str = "") -> Read:
    """As `load`, from files that were read, but gives what could be read beside the problems. What stands in fields that can be read
    is judged whatever is wrong in others; prices of parts are looked for where head and shop are right.
    """
    problems = list(files.problems)
    if files.job is None:
        return Read(None, [*problems, *(shop_alone(files.shop)[1] if files.shop else [])])
    sources = (files.job, files.shop or no_file(SHOP_FILE), files.book)
    raw_job, raw_shop = copy.deepcopy(files.job.raw), copy.deepcopy(sources[1].raw)
    tried = paths.parsed(settings, problems)
    changed = frozenset(path for path, _ in tried)
    book = paths.repriced(files.prices, tried, problems)
    others = [one for one in tried if not one[0].startswith(paths.PRICES)]
    problems += [problem.at(SOURCE) for problem in paths.apply(others, raw_job, raw_shop)]
    stands: dict[Path, Path] = {}
    if option:
        wrong, stands = _optioned(option, raw_job, raw_shop, files.job)
        problems += placed(wrong, sources, frozenset())
    job, judged_job, found = _job(files.job, raw_job, partial(_in_file, files.job.raw, option, stands))
    shop, judged_shop, of_shop = _shop(files.shop, with_defaults(raw_shop))
    found += [*of_shop, *job_rules(judged_job, judged_shop)]
    stock: tuple[StockRow, ...] = ()
    tallies: tuple[Source, ...] = ()
    with suppress(Unread):
        stock, tallies, unread = all_stock(judged_job, files.home)
        found += unread
    problems += placed(found, sources, changed, option)
    sound = job is not None and shop is not None and not any(map(_unsound, problems))
    tables_of_shop = tables_of(judged_shop)
    wrong_parts = _with_holes(judged_job.parts)
    left = replaced(judged_job, parts=wrong_parts) if sound else judged_job
    impossible = placed(parts.problems(left, judged_shop, tables_of_shop), sources, changed, option)
    problems += [one for one in impossible if one not in problems]
    if job is None or shop is None:
        return Read(None, problems)
    job, causes = _with_distance(job, shop), _causes(job, shop)
    named = (with_names(job, "", causes), with_names(shop, "", causes))
    raw = (raw_job, raw_shop)
    every = (*sources, *tallies)
    brief = Brief(*named, book, tables_of_shop, files.folder, every, raw, changed, stock, option=option)
    left_out = (f"{trade}.{part.id}" for trade, own in wrong_parts.items() for part in own)
    return Read(brief, problems, sound, tuple(left_out))


def _unsound(problem: Problem) -> bool:
    """True for what the take-off of any part may rest on."""
    return problem.file in (SHOP_FILE, SOURCE) or problem.field.endswith("channel")


def _in_file(raw: Any, option: str, stands: Mapping[Path, Path], path: Path, field: str) -> Path:
    """Where the file has a value of a variant: at its own place, where the option adds its part, or where it sets it."""
    set_there = of_option(field.split("."), raw, option)
    own = (*stands.get(path[:2], path[:2]), *path[2:])
    return own if set_there is None or own[0] == "option" else set_there[0]


def _job(source: Source, raw: dict[str, Any], in_file: InFile) -> tuple[Job | None, Job, list[Problem]]:
    """The job without parts that are wrong, None where its head is wrong; the job with holes in their place; what is wrong."""
    job, found, wrong = validated(source, Job, raw, in_file)
    judged, twice = with_ids(job_with_holes(raw, wrong) if wrong else job)
    judged, shapeless = with_outlines(judged)
    whole = {trade: tuple(one for one in own if not hollow(one)) for trade, own in judged.parts.items()}
    told = [*found, *twice, *shapeless]
    return (None if job is None else replace(job, parts=whole)), judged, told


def _shop(source: Source | None, raw: dict[str, Any]) -> tuple[Shop | None, Shop, list[Problem]]:
    """The shop, None where it is wrong; the shop with holes in the place of what is wrong; and what that is."""
    if source is None:
        return None, shop_with_holes({}, {(name,) for name in keys_at(Shop, ())}), []
    shop, found, wrong = validated(source, Shop, raw)
    broken = shop_rules(shop_with_holes(raw, wrong) if wrong else shop)
    holes = wrong | {(*path, *rest) for path, rest in (path_of(one.field.split("."), raw) for one in broken)}
    return shop, shop_with_holes(raw, holes) if holes else shop, [*found, *broken]


def shop_alone(source: Source) -> tuple[Shop | None, list[Problem]]:
    """A shop file by itself, and what is wrong in it."""
    shop, _, found = _shop(source, with_defaults(copy.deepcopy(source.raw)))
    return shop, placed(found, (source, source), frozenset())


def _with_holes(parts_of: Mapping[str, tuple[Any, ...]]) -> dict[str, tuple[Any, ...]]:
    return {trade: tuple(one for one in own if hollow(one)) for trade, own in parts_of.items()}


def _with_distance(job: Job, shop: Shop) -> Job:
    """The job with the straight distance to its place, where it names one and the shop has one too."""
    delivery, home = job.delivery, shop.shop.place
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


def tables_of(shop: Shop) -> Tables:
    """The reference tables, with the shop's own timbers."""
    try:
        own = SPECIES.of(shop).items()
        return with_own_species(tables(), {name: one.density for name, one in own if one.density is not None})
    except Unread:  # a name that is not among the shipped ones may be the shop's own
        return replace(tables(), species=Partly(tables().species))


def _optioned(
    option: str, raw_job: dict[str, Any], raw_shop: dict[str, Any], source: Source
) -> tuple[list[Problem], dict[Path, Path]]:
    job, problems, _ = validated(source, Job, raw_job)
    if job is None:
        return problems, {}
    chosen = next(one for one in job.option if one.name == option)
    return paths.with_option(option_at(source.raw, option) or 0, chosen, raw_job, raw_shop)
