"""A new job from an example, a job file, or an issued quote: its text as it was, comments included, and what it names beside it."""

from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from quoting.advice import Advice
from quoting.errors import Reading, nearest, refused
from quoting.job.book_cells import SUFFIX
from quoting.job.files import read_job
from quoting.job.starters import shipped
from quoting.job.stock import TALLY
from quoting.job.text import job_text
from quoting.ledger import frozen as files
from quoting.ledger import quotes
from quoting.ledger.store import LEDGER_FILE, reading
from quoting.reading.sources import Wanted, file_beside, read_text, toml_source
from quoting.reading.splice import has, within
from quoting.runs.finding import JOBS, job_named, jobs_near
from quoting.runs.keeping import KEPT_JOBS, TALLIES
from quoting.runs.pricing import read_brief
from quoting.runs.seen import PICTURE
from quoting.values import slug
from quoting.written import put

NAMED: Mapping[tuple[str, str], Wanted] = {
    ("cut", "tally"): TALLY,
    ("cut", "rack"): TALLY,
    ("piece", "picture"): PICTURE,
}
"""Fields that name a file beside the job."""

OF_AN_ORDER = (
    ("client", "name"),
    ("client", "address"),
    ("client", "email"),
    ("quote", "date"),
    ("quote", "ready_by"),
    ("price", "discount"),
    ("price", "why"),
)
"""Fields that belong to one order and not to the piece."""

TOML = ".toml"
MODEL = Advice("model")


class Begun(NamedTuple):
    """A new job file; `beside` are the files put next to it, `lacking` says in words which could not be; `look` are fields that belong to
    the former order, with what they say; `wrong` counts what is to be put right in the shop where it stands now.
    """

    job: Path
    beside: tuple[Path, ...]
    lacking: tuple[str, ...]
    look: tuple[str, ...]
    wrong: int


class _Model(NamedTuple):
    """What a new job is made from: a name for its file, its text, and the files that it names by the field that does."""

    name: str
    text: str
    beside: Mapping[tuple[str, str], bytes]


def begin(model: str, shop: Path, target: Path | None) -> Begun:
    """Write a new job file, into the jobs folder of the shop where no other is named. Nothing is written over: a file of that name gets a
    number, one that was asked for is refused. Raises Problems where there is no such model.
    """
    found = _model(model, shop)
    raw = toml_source(model, found.text).raw
    path = _free(shop / JOBS, found.name) if target is None else _asked(target, found.name)
    beside: dict[Path, bytes] = {}
    lacking = []
    for field in NAMED:
        if not (name := _named(raw, field)):
            continue
        try:
            beside |= _put_beside(path.parent, field, name, found)
        except Reading as wrong:
            lacking.append(f"{'.'.join(field)}: {wrong.found}; {wrong.write}")
    path.parent.mkdir(parents=True, exist_ok=True)
    put({path: found.text.encode(), **beside})
    look = (f"{'.'.join(field)} ({said})" for field, said in _said(raw))
    return Begun(path, tuple(beside), tuple(lacking), tuple(look), len(read_brief(path, shop, ())[1]))


def examples() -> dict[str, Path]:
    """The jobs that come with the tool, by name."""
    found = sorted(Path(str(shipped("sample_jobs"))).glob(f"*/{JOBS}/*{TOML}"))
    return {one.stem: one for one in found}


def _model(name: str, shop: Path) -> _Model:
    """A job by its file, the number of a quote, or the name of an example."""
    there = job_named(Path(name), shop)
    if there is not None:
        return _of_file(there)
    if (example := _example(name)) is not None:
        return _of_file(example)
    if not quotes.is_number(name):
        known = sorted({*examples(), *(one.stem for one in jobs_near(Path(name), shop))})
        found = f'found no job file, quote or example "{name}"'
        wanted = nearest(slug(name).replace("-", "_"), known)
        raise refused(MODEL, found, wanted, code="unknown_name", name=name, known=known)
    return _of_quote(name, shop)


def _example(name: str) -> Path | None:
    return next(
        (path for one, path in examples().items() if slug(one) == slug(name.removesuffix(TOML))), None
    )


def _of_file(path: Path) -> _Model:
    if path.suffix.lower() == SUFFIX:
        raw = read_job(path).raw
        text = job_text(raw)
    else:
        text = read_text(path)
        raw = toml_source(path.name, text).raw
    beside = {}
    for field, wanted in NAMED.items():
        with suppress(Reading):  # what is not there is told where it would be put
            if name := _named(raw, field):
                beside[field] = file_beside(path.resolve().parent, name, wanted).read_bytes()
    return _Model(path.stem, text, beside)


def _of_quote(number: str, shop: Path) -> _Model:
    """The job as an issued quote froze it, with its tallies and its picture."""
    if not (shop / LEDGER_FILE).is_file():
        found, wanted = f"found no quote {number}: this shop has no ledger", "name a job file or an example"
        raise refused(MODEL, found, wanted, code="no_ledger", number=number)
    with reading(shop) as book:
        kept = files.kept(book, "quote_file", quotes.asked(book, number).id, files.SOURCE)
    name, data = next((name, data) for name, data in kept.items() if name.startswith(KEPT_JOBS))
    text = data.decode()
    raw = toml_source(name, text).raw
    beside = {}
    for field in NAMED:
        named = _named(raw, field)
        there = "picture" if field[1] == "picture" else f"{TALLIES}{named}"
        if named and there in kept:
            beside[field] = kept[there]
    return _Model(Path(name).stem, text, beside)


def _named(raw: Mapping[str, Any], field: tuple[str, str]) -> str:
    """The file that a field names; "" for none."""
    found = within(raw, field) if has(raw, field) else ""
    return found if isinstance(found, str) else ""


def _free(folder: Path, name: str) -> Path:
    """A file that is not there yet: of that name, or with a number behind it."""
    count, path = 1, folder / f"{name}{TOML}"
    while path.exists() or path.is_symlink():
        count += 1
        path = folder / f"{name}-{count}{TOML}"
    return path


def _asked(target: Path, name: str) -> Path:
    """The file that was asked for; in a folder that is there, one of the model's name."""
    if target.is_dir():
        return _free(target, name)
    if target.suffix.lower() != TOML:
        wanted = f"name a file that ends in {TOML}"
        raise refused("", f"found {target.name}", wanted, code="file_kind", name=target.name)
    if target.exists() or target.is_symlink():
        found = f"found {target}, which is there already"
        raise refused("", found, "name a new file", code="file_exists", name=target.name)
    return target


def _put_beside(folder: Path, field: tuple[str, str], name: str, found: _Model) -> dict[Path, bytes]:
    """The file that a field names, where it is not there yet. Reading where it cannot be put there, or says something else there."""
    path = (folder / name).resolve()
    if not path.is_relative_to(folder.resolve()):
        outside = f'found "{name}", which is outside the folder of the job'
        raise Reading(outside, NAMED[field].write, "file_outside", name=name)
    there, data = path.is_file(), found.beside.get(field)
    if there and data is not None and path.read_bytes() != data:
        other = f'found a "{name}" that says something else than the one of the model'
        raise Reading(other, "see which of them is meant", "conflict", name=name)
    if there:
        return {}
    if data is None:
        raise Reading(f'found no "{name}" to put beside it', NAMED[field].write, "file_missing", name=name)
    path.parent.mkdir(parents=True, exist_ok=True)
    return {path: data}


def _said(raw: Mapping[str, Any]) -> Iterator[tuple[tuple[str, str], Any]]:
    """What a job says of the order that it was written for."""
    for field in OF_AN_ORDER:
        if has(raw, field) and (said := within(raw, field)):
            yield field, said
