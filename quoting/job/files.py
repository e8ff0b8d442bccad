"""The files of a job as they were read: the job, which may be a file, a text or tables, its shop file and its price file."""

import copy
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from quoting.advice import Advice
from quoting.errors import Problem, Problems, refused
from quoting.job.book import read_job_book
from quoting.job.book_cells import SUFFIX
from quoting.job.stock import Price, read_prices
from quoting.reading.sources import Source, collected, fingerprint, read_plain, read_toml, toml_source

SHOP_FILE, PRICE_FILE = "shop.toml", "prices.csv"

Given = Path | str | Mapping[str, Any]
"""What a job is read from: the path of a file, a text of more than one line as a job file has it, or tables as TOML makes them."""

NAMELESS = "job"
"""What a job is called that is no file."""


class Files(NamedTuple):
    """Job, shop file and price file; None what could not be read, for which the problems say why.

    `folder` is that of the shop, `home` the one in which files are that the job names: its own, or the shop's of a job that is no file.
    """

    job: Source | None
    shop: Source | None
    book: Source
    prices: Mapping[str, tuple[Price, ...]]
    folder: Path
    home: Path
    problems: tuple[Problem, ...]


def files_of(job: Given, shop: Path | None) -> Files:
    """Read what a job rests on. Nothing is raised: what cannot be read is left out, and told in the problems."""
    problems: list[Problem] = []
    source = collected(problems, job, read_job)
    path = path_of_job(job)
    try:
        folder = shop_folder(path, shop)
    except Problems as error:
        if source is not None or not problems:
            problems += error.problems
        home = path.resolve().parent if path is not None else Path()
        return Files(source, None, no_file(PRICE_FILE), {}, home, home, tuple(problems))
    shop_source = collected(problems, folder / SHOP_FILE, read_toml)
    prices, book = price_rows(folder, problems)
    home = path.resolve().parent if path is not None else folder.resolve()
    return Files(source, shop_source, book, prices, folder, home, tuple(problems))


def path_of_job(job: Given) -> Path | None:
    """The path of a job that is a file."""
    if isinstance(job, str):
        return None if "\n" in job else Path(job)
    return job if isinstance(job, Path) else None


class Called(NamedTuple):
    """How papers of a job are called, and what they say they were made from."""

    name: str
    origin: str


def called(job: Given) -> Called:
    """By its file; a job that is none has no name of its own."""
    path = path_of_job(job)
    return Called(NAMELESS, NAMELESS) if path is None else Called(path.stem, str(path.resolve()))


def read_job(job: Given) -> Source:
    """A job file, a job that is filled in as a spreadsheet, a text, or tables. Problems with what cannot be read."""
    path = path_of_job(job)
    if path is None:
        return toml_source(NAMELESS, job) if isinstance(job, str) else _tables(job)
    if path.name in (SHOP_FILE, PRICE_FILE):
        wanted = "name a job file, such as jobs/first-bench.toml"
        raise refused("", "is no job", wanted, path.name, code="not_a_job")
    return read_job_book(path) if path.suffix.lower() == SUFFIX else read_toml(path)


def _tables(given: Any) -> Source:
    """Tables have no lines; their fingerprint is that of what they hold."""
    if not isinstance(given, Mapping):
        found = f"found {type(given).__name__}"
        raise refused("", found, "pass a path, a text, or tables", NAMELESS, code="not_a_job")
    raw = copy.deepcopy(dict(given))
    try:
        held = json.dumps(raw, sort_keys=True, default=str)
    except (TypeError, ValueError, RecursionError) as error:
        found = f"cannot be read: {error}"
        raise refused(
            "", found, "pass tables as TOML makes them", NAMELESS, code="not_toml", reason=error
        ) from None
    return Source(NAMELESS, "", raw, fingerprint(held), lined=False)


def shop_folder(job: Path | None, given: Path | None) -> Path:
    """Where the shop file is: the folder given, the job's own, or the one above it. Raises Problems where none of them has one."""
    if given is not None:
        return given
    if job is None:
        found = f"found no {SHOP_FILE} for a job that is no file"
        raise refused("", found, Advice("give_shop"), code="no_shop")
    beside = job.resolve().parent
    for folder in (beside, beside.parent):
        if (folder / SHOP_FILE).is_file():
            return folder
    found = f"found no {SHOP_FILE} beside {job.name} or in the folder above"
    raise refused("", found, Advice("no_shop_beside"), code="no_shop", name=job.name)


def price_rows(folder: Path, problems: list[Problem]) -> tuple[dict[str, tuple[Price, ...]], Source]:
    """The rows of a price file that can be read, by item, and the file; `problems` grows by what is wrong in it."""
    source = collected(problems, folder / PRICE_FILE, read_plain)
    if source is None:
        return {}, no_file(PRICE_FILE)
    book, wrong = read_prices(source.text)
    problems += [problem.at(source.name, problem.line) for problem in wrong]
    return book, source


def no_file(name: str) -> Source:
    """What stands in the place of a file that could not be read."""
    return Source(name, "", {}, "")
