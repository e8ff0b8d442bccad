"""Types of the fields a maker writes: each reads text through `measures` and leaves a plain value; what every part has."""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from typing import Annotated, Any, ClassVar, Literal, NamedTuple

from pydantic import ConfigDict, PlainValidator

from quoting import measures
from quoting.errors import Reading
from quoting.measures.reading import Section
from quoting.measures.units import Unit
from quoting.values import Uncertain, certain

STRICT = ConfigDict(extra="forbid", arbitrary_types_allowed=True)
LONGEST_TEXT = 20_000
MOST_COUNTED = 1_000_000
FORMAT = 1


class Strict:
    """What every record of a maker's file is: a field that it does not have is a fault."""

    __slots__ = ()
    __pydantic_config__: ClassVar = STRICT


def _plain(dimension: str, reader: Callable[..., object] = measures.measure) -> Any:
    return PlainValidator(partial(reader, dimension=dimension))


def _range(value: object, dimension: str) -> Uncertain:
    if not isinstance(value, dict):
        return measures.span(value, dimension)
    if set(value) != {"value", "cause"}:
        there = ", ".join(map(str, value))
        found, wanted = f"found a table with {there}", 'write { value = "...", cause = "..." }'
        raise Reading(found, wanted, "not_a_measure", keys=list(value))
    spread = measures.span(value["value"], dimension)
    return replace(spread, cause=certain(1.0, f"cause.{text(value['cause'])}"))


_ranged = partial(_plain, reader=_range)


def text(value: object) -> str:
    """Text of one or more lines, without control characters, NFC."""
    if not isinstance(value, str):
        raise _unlike(value, 'write text in quotes, such as "oak bench"', "not_text")
    clean = unicodedata.normalize("NFC", value)
    if any(unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\t" for c in clean):
        raise Reading("found a control character", "write plain text", "not_text")
    if len(clean) > LONGEST_TEXT:
        found, most = len(clean), LONGEST_TEXT
        raise Reading(
            f"found {found} characters", f"write at most {most}", "too_long", found=found, most=most
        )
    return clean.strip()


def word(value: object) -> str:
    """Text that must not be empty: a name, an item, a part."""
    clean = text(value)
    if not clean:
        raise Reading("found nothing", "write a name", "empty")
    return clean


def shown(value: object) -> str:
    """A value as it stands in the file, for messages."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "a list"
    return "a table" if isinstance(value, dict) else str(value)


def _unlike(value: object, write: str, code: str, /, **values: object) -> Reading:
    """The error for a value of another kind."""
    return Reading(f"found {shown(value)}", write, code, found=shown(value), **values)


def _whole(value: object, least: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= MOST_COUNTED:
        wanted = f"write a whole number from {least} to {MOST_COUNTED}, without quotes"
        raise _unlike(value, wanted, "not_a_number", least=least, most=MOST_COUNTED)
    return value


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise _unlike(value, "write true or false, without quotes", "not_yes_or_no")
    return value


def day(value: object) -> date:
    """A day, as TOML has it or as text."""
    if isinstance(value, date):
        return date(value.year, value.month, value.day)
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        raise _unlike(value, "write a day such as 2027-03-01", "not_a_day") from None


def _coordinates(value: object) -> tuple[float, float]:
    wanted = "write [latitude, longitude] in degrees, such as [47.1, -122.4]"
    if not isinstance(value, list) or len(value) != 2:
        raise _unlike(value, wanted, "not_a_place")
    for number, limit in zip(value, (90, 180), strict=True):
        if isinstance(number, bool) or not isinstance(number, int | float) or not -limit <= number <= limit:
            raise _unlike(number, wanted, "not_a_place")
    return float(value[0]), float(value[1])


def _outline(value: object) -> tuple[tuple[float, float], ...]:
    wanted = 'write at least three corners in turn, such as [["0 in", "0 in"], ["20 in", "0 in"], ["12 in", "9 in"]]'
    if not isinstance(value, list) or len(value) < 3:
        raise _unlike(value, wanted, "shape")
    if any(not isinstance(corner, list) or len(corner) != 2 for corner in value):
        raise Reading("found a corner that is no pair of measures", wanted, "shape")
    return tuple((measures.measure(x, "length"), measures.measure(y, "length")) for x, y in value)


class Quantity(NamedTuple):
    """An amount of a bought thing: the canonical range, and the unit it was written in."""

    amount: Uncertain
    unit: Unit


EACH = Unit("each", "count", 1.0)


def _quantity(value: object) -> Quantity:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return Quantity(measures.span(value, "number"), EACH)
    clean = text(value)
    spelled = re.search(r"[A-Za-z][A-Za-z0-9 ]*$", clean)
    if spelled is None:
        return Quantity(measures.span(clean, "number"), EACH)
    unit = measures.unit(spelled.group().strip())
    if unit.dimension == "count":
        return Quantity(measures.span(clean[: spelled.start()].strip(), "number"), unit)
    return Quantity(measures.span(clean, unit.dimension), unit)


class Discount(NamedTuple):
    """What comes off a price: a share of it, or an amount."""

    share: float
    amount: float


def _discount(value: object) -> Discount:
    if isinstance(value, str) and "%" in value:
        return Discount(measures.measure(value, "share"), 0.0)
    return Discount(0.0, measures.measure(value, "money"))


def _plies(value: object) -> tuple[str, ...]:
    names = value if isinstance(value, list) else [value]
    if not names:
        raise Reading("found an empty list", "write an item, or a list of items", "empty")
    return tuple(word(name) for name in names)


def _format(value: object) -> int:
    if value is True or value != FORMAT:
        raise _unlike(value, f"write {FORMAT}, the format this version reads", "format", known=FORMAT)
    return FORMAT


class Fitted(NamedTuple):
    """Marks a field to whose entries an input is fitted, with the dimension of that."""

    dimension: str


class NoTime(NamedTuple):
    """A part says that a standard operation is not needed on it."""


def _operation(value: object, dimension: str) -> Uncertain | NoTime:
    return NoTime() if value == "none" else measures.span(value, dimension)


Text = Annotated[str, PlainValidator(text)]
Word = Annotated[str, PlainValidator(word)]
Flag = Annotated[bool, PlainValidator(_flag)]
Count = Annotated[int, PlainValidator(partial(_whole, least=1))]
CountOrNone = Annotated[int, PlainValidator(partial(_whole, least=0))]
Plies = Annotated[tuple[str, ...], PlainValidator(_plies)]
AfterRound = Annotated[
    int | None, PlainValidator(lambda value: None if value == "last" else _whole(value, 1))
]
Format = Annotated[int, PlainValidator(_format)]
PriceCut = Annotated[Discount, PlainValidator(_discount)]
Day = Annotated[date, PlainValidator(day)]
Days = Annotated[float, PlainValidator(lambda value: measures.measure(value, "time") / 24)]
Coordinates = Annotated[tuple[float, float], PlainValidator(_coordinates)]
Outline = Annotated[tuple[tuple[float, float], ...], PlainValidator(_outline)]
Bought = Annotated[Quantity, PlainValidator(_quantity)]
Rough = Annotated[float, PlainValidator(measures.rough)]
Ratio = Annotated[tuple[float, float], PlainValidator(measures.ratio)]
MetalSection = Annotated[Section, PlainValidator(measures.section)]
Operation = Annotated[Uncertain | NoTime, _plain("time", _operation)]

Length = Annotated[float, _plain("length")]
Distance = Annotated[float, _plain("distance")]
Area = Annotated[float, _plain("area")]
Volume = Annotated[float, _plain("volume")]
Mass = Annotated[float, _plain("mass")]
Hours = Annotated[float, _plain("time")]
ArealMass = Annotated[float, _plain("areal_mass")]
MassPerLength = Annotated[float, _plain("mass_per_length")]
Density = Annotated[float, _plain("density")]
Pressure = Annotated[float, _plain("pressure")]
Feed = Annotated[float, _plain("feed")]
Power = Annotated[float, _plain("power")]
Share = Annotated[float, _plain("share")]
Number = Annotated[float, _plain("number")]
Money = Annotated[float, _plain("money")]
MoneyPerLength = Annotated[float, _plain("money_per_length")]
MoneyPerArea = Annotated[float, _plain("money_per_area")]
MoneyPerEnergy = Annotated[float, _plain("money_per_energy")]

LengthRange = Annotated[Uncertain, _ranged("length")]
AreaRange = Annotated[Uncertain, _ranged("area")]
VolumeRange = Annotated[Uncertain, _ranged("volume")]
HoursRange = Annotated[Uncertain, _ranged("time")]
ArealMassRange = Annotated[Uncertain, _ranged("areal_mass")]
BleedRange = Annotated[Uncertain, _ranged("depth_per_area")]
CoverageRange = Annotated[Uncertain, _ranged("coverage")]
SpeedRange = Annotated[Uncertain, _ranged("speed")]
ShareRange = Annotated[Uncertain, _ranged("share")]
NumberRange = Annotated[Uncertain, _ranged("number")]
MoneyRange = Annotated[Uncertain, _ranged("money")]

Supplied = Literal["bought", "rack", "given", "client"]
"""bought now; from the maker's rack (worth its price, no cash now); a gift; the client's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Strict):
    """What every entry of every trade has: a name, an id, a stage, times of its own."""

    naming: ClassVar = "part"
    part: Word
    id: Text = ""
    stage: Text = ""
    standard: dict[Word, Operation] = field(default_factory=dict)
