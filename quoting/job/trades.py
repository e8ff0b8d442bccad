"""Records of the trades: what a maker writes of each part. Canonical units: m, m2, m3, kg, h."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quoting.reading.fields import (
    Area,
    ArealMass,
    AreaRange,
    Bought,
    Count,
    CountOrNone,
    CoverageRange,
    Days,
    Feed,
    Flag,
    Hours,
    HoursRange,
    Length,
    Mass,
    MassPerLength,
    MetalSection,
    MoneyRange,
    Number,
    Outline,
    Rough,
    ShareRange,
    Supplied,
    Text,
    Word,
)
from quoting.reading.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardwood(Part):
    """Solid timber, by finished size."""

    species: Word
    length: Length
    width: Length
    thickness: Length
    quantity: Count = 1
    rough: Rough | None = None
    glued_up: Flag = False
    layers: Count = 1
    waste: ShareRange | None = None
    yield_: Annotated[ShareRange | None, Field(alias="yield")] = None
    shape_area: Area | None = None
    outline: Outline | None = None
    figure: Literal["plain", "matched"] = "plain"
    joints: CountOrNone = 0
    joinery: Word = "joint"
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet(Part):
    """Parts cut from sheet goods."""

    item: Word
    length: Length
    width: Length
    quantity: Count = 1
    sheet_length: Length
    sheet_width: Length
    kerf: Length | None = None
    grain: Flag = False
    charge: Literal["whole", "area"] = "whole"
    mass_per_area: ArealMass | None = None
    shape_area: Area | None = None
    outline: Outline | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish(Part):
    """Oil, varnish, wax: anything bought by volume and spread."""

    area: AreaRange
    product: Word
    coats: Count | None = None
    coverage: CoverageRange | None = None
    dry_time: Hours | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal(Part):
    """Small metal parts cut from stock."""

    item: Word
    metal: Word
    section: MetalSection | None = None
    mass_per_length: MassPerLength | None = None
    length: Length
    quantity: Count = 1
    kerf: Length | None = None
    stock_length: Length | None = None
    charge: Literal["whole", "cut"] = "whole"
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass(Part):
    """A custom panel, at a firm price or by the glazier's tariff."""

    length: Length
    width: Length
    thickness: Length
    quantity: Count = 1
    holes: CountOrNone = 0
    edge: Text = ""
    treatment: Literal["annealed", "tempered", "laminated"] = "tempered"
    price: MoneyRange | None = None
    tariff: Text = ""
    fully_supported: Flag = False
    supplier: Text = ""
    lead: Days | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Buy(Part):
    """Anything bought."""

    naming: ClassVar = "item"
    part: Text = ""
    item: Word
    quantity: Bought
    price: MoneyRange | None = None
    mass: Mass = 0.0
    supplier: Text = ""
    lead: Days | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outwork(Part):
    """A subcontractor's price."""

    naming: ClassVar = "what"
    part: Text = ""
    what: Word
    price: MoneyRange
    supplier: Text = ""
    lead: Days | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(Part):
    """Hours of a person: a total, or a time for each of several."""

    naming: ClassVar = "task"
    part: Text = ""
    task: Word
    who: Text = ""
    hours: HoursRange | None = None
    each: HoursRange | None = None
    quantity: Count = 1
    setup: HoursRange | None = None
    learning: ShareRange | None = None
    replaces: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Part):
    """Hours of a machine: a total, or a surface to be covered."""

    naming: ClassVar = "task"
    part: Text = ""
    task: Word
    machine: Word
    hours: HoursRange | None = None
    area: Area | None = None
    stepover: Length | None = None
    feed: Feed | None = None
    passes: Count = 1
    setup: HoursRange | None = None
    attended: ShareRange | None = None
    new_part: Flag = False
    who: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setback(Part):
    """Something that may go wrong: its chance, and what it would cost."""

    naming: ClassVar = "what"
    part: Text = ""
    what: Word
    chance: Number
    hours: HoursRange | None = None
    cost: MoneyRange | None = None
    who: Text = ""
