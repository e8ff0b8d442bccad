"""From files to records: read, fill in, check, name. All problems of one run are raised together."""

from __future__ import annotations

import copy
import hashlib
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter, ValidationError

from quoting.errors import Problem, Problems
from quoting.inputs import overrides
from quoting.inputs.explain import problem_of
from quoting.inputs.job import TRADES, Job, Piece
from quoting.inputs.locate import line_of
from quoting.inputs.naming import raw_id, with_ids, with_names
from quoting.inputs.prices import Price, read_prices
from quoting.inputs.rules import job_rules, shop_rules
from quoting.inputs.shipped import with_defaults
from quoting.inputs.shop import Shop
from quoting.inputs.tables import Tables, tables

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

SHOP_FILE, PRICE_FILE = "shop.toml", "prices.csv"
LARGEST_FILE = 5_000_000


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it was read: its name for messages, text, raw tables and fingerprint."""

    name: str
    text: str
    raw: dict[str, Any]
    sha256: str


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything a price rests on, checked, with every input named."""

    job: Job
    shop: Shop
    book: Mapping[str, tuple[Price, ...]]
    tables: Tables
    folder: Path
    sources: tuple[Source, ...]

    @property
    def part_count(self) -> int:
        """Entries of all trades in the job."""
        return sum(len(getattr(self.job, trade)) for trade in TRADES)

    def written(self, name: str) -> str:
        """The text of an input as it stands in the job file, the shop file, or among the starter values."""
        job, shop, _ = self.sources
        words = name.split(".")
        for raw in (job.raw, with_defaults(shop.raw)):
            if len(path := path_of(words, raw)) == len(words):
                found: Any = raw
                for step in path:
                    found = found[step]
                text = found.get("value") if isinstance(found, dict) else found
                return str(text) if isinstance(text, str | int | float) else ""
        return ""

    def place(self, problem: Problem) -> Problem:
        """A problem found later, with the file and line of its field where that can be told."""
        job, shop, _ = self.sources
        for source in (job, shop):
            path = path_of(problem.field.split("."), source.raw)
            if path:
                return problem.at(source.name, line_of(source.text, path))
        return problem.at(job.name, 0)


def path_of(words: Sequence[str], raw: Any) -> list[str | int]:
    """The path of keys and positions that a dotted name stands for; empty where nothing fits."""
    path: list[str | int] = []
    for word in words:
        if isinstance(raw, list):
            ids = [raw_id(words[0], part) for part in raw]
            if word in ids:
                position = ids.index(word)
            elif word.isdigit() and 0 < int(word) <= len(raw):
                position = int(word) - 1
            else:
                return path
            path.append(position)
            raw = raw[position]
        elif isinstance(raw, dict) and word in raw:
            path.append(word)
            raw = raw[word]
        else:
            return path
    return path


def shop_folder(job_path: Path, given: Path | None) -> Path:
    """Where the shop file is: the folder given, the job's own, or the one above it."""
    if given is not None:
        return given
    beside = job_path.resolve().parent
    for folder in (beside, beside.parent):
        if (folder / SHOP_FILE).is_file():
            return folder
    raise Problems(
        [
            Problem(
                "",
                f"found no {SHOP_FILE} beside {job_path.name} or in the folder above",
                "write --shop FOLDER",
            )
        ]
    )


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise Problems(
                [Problem("", f"found more than {LARGEST_FILE} bytes", "write a smaller file", str(path))]
            )
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise Problems(
            [Problem("", f"found bytes that are not UTF-8 ({error.reason})", "save it as UTF-8", str(path))]
        ) from None
    except OSError as error:
        raise Problems(
            [Problem("", f"cannot be read: {error.strerror}", "name a file that exists", str(path))]
        ) from None


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _toml(path: Path) -> Source:
    text = _text(path)
    try:
        return Source(path.name, text, tomllib.loads(text), _hash(text))
    except tomllib.TOMLDecodeError as error:
        raise Problems([_toml_problem(path.name, text, str(error))]) from None
    except RecursionError:
        raise Problems([Problem("", "found tables nested too deep", "write them flat", path.name)]) from None


def _toml_problem(name: str, text: str, words: str) -> Problem:
    """A syntax error with its line; tomlkit often tells a better place than the standard library."""
    import re

    import tomlkit.exceptions

    place = re.search(r"line (\d+)", words)
    if place is None:
        try:
            tomlkit.parse(text)
        except tomlkit.exceptions.TOMLKitError as error:
            place = re.search(r"line (\d+)", str(error))
    clean = re.sub(r" ?\(at .*\)", "", words)
    return Problem(
        "",
        f"cannot be read as TOML: {clean}",
        'put text and measures in quotes, as in width = "18 in"',
        name,
        int(place[1]) if place else 0,
    )


@cache
def _adapter(kind: type) -> TypeAdapter[Any]:
    """The validator of a record type, built once: building it costs more than using it."""
    return TypeAdapter(kind)


def _validated(
    source: Source, kind: type, raw: dict[str, Any], changed: set[str]
) -> tuple[Any, list[Problem]]:
    try:
        return _adapter(kind).validate_python(raw), []
    except ValidationError as error:
        problems = []
        for one in error.errors(include_url=False):
            path, problem = problem_of(one, kind, raw)
            if problem.field in changed:
                problems.append(problem.at(overrides.SOURCE, 0))
            else:
                problems.append(problem.at(source.name, line_of(source.text, path)))
        return None, problems


def load(job_path: Path, shop: Path | None = None, settings: Sequence[str] = (), option: str = "") -> Brief:
    """Read a job with its shop and price book. Raises Problems with everything that is wrong.

    `settings` are `path=value` texts that stand in for values of the files; `option` names an
    option of the job that is carried out first.
    """
    folder = shop_folder(job_path, shop)
    problems: list[Problem] = []
    job_source, shop_source = (_collect(problems, path) for path in (job_path, folder / SHOP_FILE))
    book, book_source = _book(folder / PRICE_FILE, problems)
    if job_source is None or shop_source is None:
        raise Problems(problems)
    raw_job, raw_shop = copy.deepcopy(job_source.raw), copy.deepcopy(shop_source.raw)
    if option:
        problems += _optioned(option, raw_job, raw_shop, job_source)
    changed: list[tuple[str, Any]] = []
    for setting in settings:
        try:
            changed.append(overrides.parsed(setting))
        except ValueError:
            problems.append(Problem(setting, "found no value", 'write path="value"', overrides.SOURCE))
    book = _repriced(book, changed, problems)
    others = [one for one in changed if not one[0].startswith("prices.")]
    problems += [problem.at(overrides.SOURCE, 0) for problem in overrides.apply(others, raw_job, raw_shop)]
    names = {path for path, _ in changed}
    job, wrong_job = _validated(job_source, Job, raw_job, names)
    the_shop, wrong_shop = _validated(shop_source, Shop, with_defaults(raw_shop), names)
    problems += wrong_job + wrong_shop
    placed = Brief(job, the_shop, book, tables(), folder, (job_source, shop_source, book_source))
    if the_shop is not None:
        problems += [placed.place(problem) for problem in shop_rules(the_shop)]
    if job is not None:
        job, twice = with_ids(job)
        problems += [placed.place(problem) for problem in twice]
    if job is not None and the_shop is not None:
        problems += [placed.place(problem) for problem in job_rules(job, the_shop)]
    if problems:
        raise Problems(problems)
    causes = {
        f"cause.{name}": with_names(cause.factor, f"cause.{name}.factor", {})
        for name, cause in job.cause.items()
    }
    return Brief(
        with_names(job, "", causes), with_names(the_shop, "", {}), book, tables(), folder, placed.sources
    )


def load_shop(folder: Path) -> Brief:
    """The shop file alone, for what needs no job. Raises Problems with everything that is wrong."""
    source = _toml(folder / SHOP_FILE)
    shop, problems = _validated(source, Shop, with_defaults(copy.deepcopy(source.raw)), set())
    job = Job(format=1, piece=Piece(title="no job"))
    brief = Brief(job, shop, {}, tables(), folder, (source, source, source))
    if shop is not None:
        problems += [brief.place(problem) for problem in shop_rules(shop)]
    if problems:
        raise Problems(problems)
    return brief


def _collect(problems: list[Problem], path: Path) -> Source | None:
    try:
        return _toml(path)
    except Problems as error:
        problems += error.problems
        return None


def _book(path: Path, problems: list[Problem]) -> tuple[dict[str, tuple[Price, ...]], Source]:
    try:
        text = _text(path)
    except Problems as error:
        problems += error.problems
        return {}, Source(path.name, "", {}, "")
    book, wrong = read_prices(text)
    problems += [problem.at(path.name, problem.line) for problem in wrong]
    return book, Source(path.name, text, {}, _hash(text))


def _repriced(
    book: dict[str, tuple[Price, ...]], changed: list[tuple[str, Any]], problems: list[Problem]
) -> dict[str, tuple[Price, ...]]:
    """The price book with the prices given as `prices.<item>=...`."""
    from dataclasses import replace

    from quoting import measures
    from quoting.errors import Reading, nearest
    from quoting.values import key

    book = dict(book)
    for path, value in changed:
        if not path.startswith("prices."):
            continue
        name = key(path.removeprefix("prices."))
        try:
            price = measures.measure(value, "money")
            book[name] = tuple(replace(row, price=price) for row in book[name])
        except Reading as reading:
            problems.append(Problem(path, reading.found, reading.write, overrides.SOURCE))
        except KeyError:
            problems.append(Problem(path, "found no such item", nearest(name, book), overrides.SOURCE))
    return book


def _optioned(
    option: str, raw_job: dict[str, Any], raw_shop: dict[str, Any], source: Source
) -> list[Problem]:
    job, problems = _validated(source, Job, raw_job, set())
    if job is None:
        return problems
    chosen = next(one for one in job.option if one.name == option)
    return [problem.at(source.name, 0) for problem in overrides.with_option(chosen, raw_job, raw_shop)]
