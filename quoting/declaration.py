"""What a trade declares of itself: texts and flags, of which all that the house does with trades is derived.

A trade is declared once, in the `__init__` of its folder, which imports nothing but this. Functions and records are named as
"module:name" within that folder and are imported where they are first used, so that the model stays free of what reads files.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import cache, partial
from importlib import import_module
from types import MappingProxyType
from typing import Any, Generic, Literal, Protocol, TypeVar

from quoting.errors import Problems, refused

LAY_UP, COATING, FINISH = "lay-up", "coating", "finish"
"""What fills the days of a build: rounds and pours at the bench, then flood coats, then finishes."""

TEXTS = MappingProxyType({"caution": "caution", "safety": "safety", "label": "quote"})
"""Tables of texts by name that a trade may bring, and the section of a quote's words that each stands in."""

T = TypeVar("T")
J = TypeVar("J", bound="HasParts")


class HasParts(Protocol):
    """A job: parts by trade."""

    @property
    def parts(self) -> Mapping[str, tuple[Any, ...]]:
        """Parts by the name of their trade; a trade without parts is not there."""


class HasSections(Protocol):
    """A shop: standing data by section."""

    @property
    def sections(self) -> Mapping[str, Any]:
        """Sections that trades declare, by name."""


class Compared(Protocol):
    """A version of a piece as trades compare it with another: its `brief` has job and shop, its `priced` lines and quantities."""

    @property
    def brief(self) -> Any:
        """What it rests on."""

    @property
    def priced(self) -> Any:
        """Its price."""

    @property
    def planned(self) -> float:
        """Its planned cost [money]."""

    def cost_of(self, group: str, job: Any = None) -> float:
        """What a group of its lines costs, or would cost with another job [money]."""


@dataclass(frozen=True, slots=True)
class Parts(Generic[T]):
    """The parts of one trade in a job, by a key that knows their record."""

    trade: str

    def of(self, job: HasParts) -> tuple[T, ...]:
        """The parts that a job has of the trade."""
        return job.parts.get(self.trade, ())

    def put(self, job: J, parts: Iterable[T]) -> J:
        """The job with other parts of the trade."""
        return replace(job, parts={**job.parts, self.trade: tuple(parts)})  # type: ignore[type-var]


@dataclass(frozen=True, slots=True)
class Section(Generic[T]):
    """A section of the shop file that a trade reads, by a key that knows its record.

    A `family` is a table of records by name ([glass.<tariff>]). Of a section that is `priced`, amounts of money are
    open cells of the workbook. What a record of a family leaves out stands in the section that is `usual`. One that is not `needed`
    may be left out of file and starter values.
    """

    name: str
    record: str
    family: bool = False
    needed: bool = True
    priced: bool = False
    usual: str = ""

    def of(self, shop: HasSections) -> T:
        """What a shop says in the section."""
        found: T = shop.sections[self.name]
        return found


@dataclass(frozen=True, slots=True)
class Group:
    """A group of cost lines: the sheet of the workbook that shows how they were reached, its title, and of what kind its lines are
    where they do not say so themselves: quotes of older versions.
    """

    name: str
    sheet: str
    title: str = ""
    kind: Literal["material", "outside", "allowance"] = "material"


@dataclass(frozen=True, slots=True)
class Fact:
    """A quantity that a job adds up over its parts, with its unit in its name; `words` say it where versions are compared."""

    name: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Trade:
    """All that the house asks of a trade.

    `record` is what a maker writes of a part, `take_off` its quantities, `rules` what its fields must agree on,
    `problems` what is impossible in it, `doubts` what is doubtful, `shop_rules` what is wrong in its sections of the shop file.
    Standard times count by its `drivers`; operations it has `reckoned` by itself have no set-up of their own.
    Pieces alike are "counted" (its quantity is multiplied, so that they share stock), made "each" by itself, or multiplied in the
    trade's "own" way (`several`). `made` parts stand on the bench's sheet, in pieces or `by_measure`; `rough` gives the size they
    are first cut to. `solid` parts have a size that must fit into the piece, `shaped` ones may have an outline, and `stock` says
    what they are cut from where stock is listed. The slowest of a `chain` fills days of the build in steps called `step`, each left
    alone for `rest` hours. `poured` and `pressed` trades have cards for the bench. `cautions` are what the bench is told where
    there is a part, `dangers` where it depends on it; `material` is what a client reads of it; `compared` answers what a maker asks
    of two versions of a piece. Records
    of it are `stored` in quotes under words that are for ever. Figures of a trade stand in
    every answer where it is `always` told, else where a job has a part of it. `without` names the fields of this record that do
    not apply to it, so that nothing is left out unseen. `outside` is the package that brings it, with its version; "" for the house's own.
    """

    name: str
    home: str
    record: str
    alike: Literal["counted", "each", "own"]
    take_off: str = "equations:take_off"
    rules: str = ""
    problems: str = ""
    doubts: str = ""
    shop_rules: str = ""
    reckoned: tuple[str, ...] = ()
    drivers: tuple[str, ...] = ()
    sections: tuple[Section[Any], ...] = ()
    groups: tuple[Group, ...] = ()
    facts: tuple[Fact, ...] = ()
    several: str = ""
    made: bool = False
    by_measure: bool = False
    rough: str = ""
    solid: bool = False
    shaped: bool = False
    stock: str = ""
    chain: Literal["", "lay-up", "coating", "finish"] = ""
    step: str = ""
    rest: str = ""
    poured: str = ""
    pressed: str = ""
    resin: bool = False
    cautions: tuple[str, ...] = ()
    dangers: str = ""
    material: str = ""
    compared: str = ""
    stored: tuple[tuple[str, str], ...] = ()
    always: bool = False
    without: tuple[str, ...] = ()
    outside: str = ""

    @property
    def code(self) -> tuple[str, ...]:
        """All functions and records that the trade names in its folder."""
        texts = [getattr(self, one.name) for one in fields(self) if one.name != "material"]
        named = [text for text in texts if isinstance(text, str) and ":" in text]
        return (*named, *(one.record for one in self.sections), *(record for _, record in self.stored))

    def named(self, what: str) -> Any:
        """A function or record of the trade, by "module:name" within its folder. One of a package raises Problems that name the
        package where it fails.
        """
        found = _found(self.home, what)
        return found if isinstance(found, type) or not self.outside else partial(_blamed, self, found)

    def text(self, file: str) -> str:
        """What a data file of the trade's folder says; "" where it has none of that name."""
        from importlib.resources import files

        there = files(self.home).joinpath(file)
        return there.read_text(encoding="utf-8") if there.is_file() else ""

    def words(self) -> dict[str, Any]:
        """All that the trade says in words: names, headings, questions, terms, cautions."""
        return tomllib.loads(self.text("words.toml"))


def fault(place: str, package: str, words: str) -> Problems:
    """What the code of a package that brings a trade got wrong: to be raised."""
    return refused(
        place,
        f"found a fault of {package}: {words}",
        f"mend {package}, or take it off",
        code="package",
        package=package,
        words=words,
    )


def _blamed(trade: Trade, function: Callable[..., Any], *arguments: Any) -> Any:
    """What a function of a package gives; what it yields is gathered, so that it fails here."""
    try:
        found = function(*arguments)
        return list(found) if isinstance(found, Iterator) else found
    except Problems:
        raise
    except Exception as error:
        words = f"{type(error).__name__}: {' '.join(str(error).split())}"
        raise fault(trade.name, trade.outside, words) from error


def in_force(text: str) -> dict[str, Any]:
    """The commented keys of a starter file under their headers: what holds where a maker's own is silent."""
    kept = [line for line in text.splitlines() if re.match(r"#[a-z\[\"]|\[", line)]
    return tomllib.loads(re.sub(r"^#", "", "\n".join(kept), flags=re.MULTILINE))


@cache
def _found(home: str, what: str) -> Any:
    module, _, name = what.partition(":")
    return getattr(import_module(f"{home}.{module}"), name)
