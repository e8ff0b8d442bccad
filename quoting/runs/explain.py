"""What a term means, which units there are, and how each figure is computed: gathered from docstrings, starter files and tables."""

import difflib
import importlib
import inspect
import re
import tomllib
from collections.abc import Callable, Iterator
from datetime import date
from importlib.resources import as_file
from typing import Any, NamedTuple

from quoting.advice import Advice
from quoting.declaration import Trade
from quoting.errors import Reading, refused
from quoting.job.starters import Field, named_families, said_by_all, sections, shipped
from quoting.job.validate import JOB as JOB_NAMES
from quoting.job.validate import also_called
from quoting.measures import DIMENSIONS, shown
from quoting.measures.reading import measure
from quoting.pricing.record import Priced
from quoting.reading.tables import reference, reference_rows
from quoting.trades.registry import derived, trades
from quoting.values import key

CLOSE = 0.78
"""How alike a word must be to one that is known to be offered in its place, of 1."""

HOUSE = "quoting"
JOB, SHOP = "job.toml", "shop.toml"
SAMPLE = "tern_hollow/jobs/library_console.toml"
CHAIN, UNSURE, LIFTING = "chain", "unsure", "lifting"
FAMILIES = ("standard", "pay", "channel")
"""Families of the shop file beside those whose examples are not in force."""

UNIT = re.compile(r"(_kg)?_(m|m2|m3|h|kg|pa)$")
"""How the name of an equation tells its unit: in words it stands in the docstring."""


class Example(NamedTuple):
    """A sample, priced now, and which of its blocks show the trade: groups of lines, CHAIN, UNSURE or LIFTING."""

    file: str
    priced: Priced
    blocks: tuple[str, ...]


class Page(NamedTuple):
    """What is computed in a trade: its equations with their docstrings, a worked example, fields of a job and of the shop file by section."""

    name: str
    words: str
    equations: tuple[tuple[str, str], ...]
    job: tuple[tuple[str, tuple[Field, ...]], ...]
    shop: tuple[tuple[str, tuple[Field, ...]], ...]
    terms: tuple[tuple[str, str], ...]
    example: Example | None = None


class Meaning(NamedTuple):
    """A term in words, and the page that says more; a field is shown as it is written, with the file it stands in."""

    term: str
    words: str
    page: str = ""
    written: str = ""


def topics() -> tuple[list[tuple[str, str]], list[str]]:
    """The pages with their words, and all terms."""
    pages = [(name, str(page["words"])) for name, page in _pages().items()]
    return pages, [row["term"] for row in _glossary()]


def explain(asked: str, today: date) -> Page | list[Meaning]:
    """The page of a trade, its example priced today; else what a term, a field or a unit means. Raises Problems with the nearest name where none is known."""
    name = key(asked)
    if name in _pages():
        return _page(name, today)
    fields = (one for field, one in _every_field() if key(field) in (name, name.replace(" ", "_")))
    found = [*_terms(lambda term: name in (term, f"{term}s")), *fields, *_units(asked)]
    found = found or list(_terms(lambda term: name in term.split()))
    if found:
        return found
    if (other := also_called(JOB_NAMES, name)) in _pages():
        return _page(str(other), today)
    words = (*_pages(), *(row["term"] for row in _glossary()), *(field for field, _ in _every_field()))
    known = dict.fromkeys(map(key, words))
    close = difflib.get_close_matches(name, known, n=1, cutoff=CLOSE)
    wanted = f'write "{close[0]}"' if close else Advice("explain_all")
    raise refused("", f'found no word "{asked}"', wanted, code="unknown_name", name=asked)


@derived
def _pages() -> dict[str, dict[str, list[str]]]:
    """Pages of trades in printed order, a trade may have several; then those of no trade, but for one that says `after` which it stands."""
    found: dict[str, dict[str, Any]] = {}
    for trade, said in said_by_all("page"):
        for name, page in ({trade.name: said} if "words" in said else said).items():
            found[name] = page | {"modules": [_module(trade.home, one) for one in page.get("modules", ())]}
    order = list(found)
    for name, page in tomllib.loads(reference("pages.toml")).items():
        found[name] = page | {"modules": [f"{HOUSE}.{one}" for one in page.get("modules", ())]}
        after = page.get("after")
        order.insert(order.index(after) + 1 if after in order else len(order), name)
    return {name: found[name] for name in order}


def _module(home: str, name: str) -> str:
    """A module that a trade names: of its own folder, or with a dot in its name of the house."""
    return f"{HOUSE}.{name}" if "." in name else f"{home}.{name}"


@derived
def _glossary() -> tuple[dict[str, str], ...]:
    """Terms with the pages that say more, as a dictionary has them: with words behind it before it stands alone."""
    own = [{"page": trade.name} | term for trade, terms in said_by_all("term") for term in terms]
    every = [*reference_rows("glossary"), *own]
    return tuple(sorted(every, key=lambda row: f"{row['term']},".casefold()))


def _page(name: str, today: date) -> Page:
    page = _pages()[name]
    equations = [
        (UNIT.sub("", found.__name__).replace("_", " "), inspect.getdoc(found) or "")
        for module in page.get("modules", ())
        for found in equations_of(module, page.get("functions", ()))
    ]
    return Page(
        name,
        str(page["words"]),
        tuple(equations),
        tuple(_of_sections(JOB, page.get("job", ()))),
        tuple(_of_sections(SHOP, page.get("shop", ()))),
        tuple((row["term"], row["means"]) for row in _glossary() if row["page"] == name),
        _example(page, today),
    )


def _example(page: dict[str, list[str]], today: date) -> Example | None:
    """The sample that a page names, or the one that uses every trade, priced by the same engine as every job."""
    blocks = tuple(page.get("example", ()))
    if not blocks:
        return None
    from quoting.runs.pricing import price

    [file] = page.get("sample", [SAMPLE])
    with as_file(shipped("sample_jobs")) as folder:
        return Example(f"sample_jobs/{file}", price(folder / file, None, today), blocks)


def equations_of(module: str, named: list[str] | tuple[str, ...] = ()) -> list[Callable[..., object]]:
    """The equations of a module in the order they are written: functions that take their numbers by name, or those named."""
    there = importlib.import_module(module)
    functions = inspect.getmembers(there, inspect.isfunction)
    own = [one for _, one in functions if one.__module__ == there.__name__]
    wanted = [one for one in own if (one.__name__ in named if named else _takes_names(one))]
    return sorted(wanted, key=lambda one: one.__code__.co_firstlineno)


def _takes_names(function: Callable[..., object]) -> bool:
    taken = inspect.signature(function).parameters.values()
    return bool(taken) and all(one.kind is one.KEYWORD_ONLY for one in taken)


def _of_sections(file: str, names: list[str] | tuple[str, ...]) -> Iterator[tuple[str, tuple[Field, ...]]]:
    families = (*named_families(), *FAMILIES)
    for name in names:
        for section in sections(file).values():
            if section.name == name or (name in families and section.name.startswith(f"{name}.")):
                yield (f"[[{section.name}]]" if section.many else f"[{section.name}]"), section.fields


def _terms(is_meant: Callable[[str], bool]) -> Iterator[Meaning]:
    for row in _glossary():
        if is_meant(key(row["term"])):
            yield Meaning(row["term"], row["means"], row["page"])


def _every_field() -> Iterator[tuple[str, Meaning]]:
    """Every field under its name, and under that with its section."""
    for file, where in ((JOB, "a job"), (SHOP, "shop.toml")):
        for section in sections(file).values():
            for field in section.fields:
                written = f"{field.name} = {field.value}"
                means = field.words or _sentence(section.name, field.name)
                words = f"in [{section.name}] of {where}" + (f": {means}" if means else "")
                on = (name for name, page in _pages().items() if section.name in page.get(file[:-5], ()))
                meaning = Meaning(f"{section.name}.{field.name}", words, next(on, ""), written)
                yield field.name, meaning
                yield meaning.term, meaning


def _sentence(section: str, field: str) -> str:
    """What a field without a comment is for: by its section, in the words of its trade, else wherever it stands; "" for none."""
    family, said = section.partition(".")[0], tomllib.loads(reference("fields.toml"))
    own = {one.name: words for one, words in said_by_all("fields")}
    of_trade = next((one.name for one in trades().values() if family in _sections_of(one)), "")
    tables = (said.get(family, {}), own.get(of_trade, {}), said["anywhere"])
    return next((str(table[field]) for table in tables if field in table), "")


def _sections_of(trade: Trade) -> tuple[str, ...]:
    """Sections that a trade brings: its own of the job, and those of the shop file."""
    return (trade.name, *(one.name for one in trade.sections))


def _units(asked: str) -> Iterator[Meaning]:
    """A unit, with what one of it is in metric and in inch units."""
    for kind in DIMENSIONS.values():
        try:
            one = measure(f"1 {asked}", kind.name)
        except Reading:
            continue
        both = " = ".join(dict.fromkeys(shown(one, kind.name, system) for system in ("metric", "inch")))
        yield Meaning(f"1 {asked}", f"{kind.words}: {both}")
