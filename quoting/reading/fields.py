"""Types of the fields a maker writes, each with what reads it; what every part has."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from typing import Annotated, Any, ClassVar, Literal, NamedTuple

from pydantic import ConfigDict, PlainValidator

from quoting import measures
from quoting.errors import Reading
from quoting.measures.reading import Section
from quoting.reading import readers
from quoting.values import Uncertain, certain

STRICT = ConfigDict(extra="forbid", arbitrary_types_allowed=True)


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
    return replace(spread, cause=certain(1.0, f"cause.{readers.text(value['cause'])}"))


_ranged = partial(_plain, reader=_range)


class Fitted(NamedTuple):
    """Marks a field to whose entries an input is fitted, with the dimension of that."""

    dimension: str


class NoTime(NamedTuple):
    """A part says that a standard operation is not needed on it."""


def _operation(value: object, dimension: str) -> Uncertain | NoTime:
    return NoTime() if value == "none" else measures.span(value, dimension)


Text = Annotated[str, PlainValidator(readers.text)]
Word = Annotated[str, PlainValidator(readers.word)]
Flag = Annotated[bool, PlainValidator(readers.flag)]
Count = Annotated[int, PlainValidator(partial(readers.whole, least=1))]
CountOrNone = Annotated[int, PlainValidator(partial(readers.whole, least=0))]
Plies = Annotated[tuple[str, ...], PlainValidator(readers.plies)]
AfterRound = Annotated[
    int | None, PlainValidator(lambda value: None if value == "last" else readers.whole(value, 1))
]
Format = Annotated[int, PlainValidator(readers.format_read)]
PriceCut = Annotated[readers.Discount, PlainValidator(readers.discount)]
Day = Annotated[date, PlainValidator(readers.day)]
Days = Annotated[float, PlainValidator(lambda value: measures.measure(value, "time") / 24)]
Coordinates = Annotated[tuple[float, float], PlainValidator(readers.coordinates)]
Outline = Annotated[tuple[tuple[float, float], ...], PlainValidator(readers.outline)]
Bought = Annotated[readers.Quantity, PlainValidator(readers.quantity)]
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
