"""Records of the trades: what a maker writes of each part. Canonical units: m, m2, m3, kg, h."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from quoting.inputs.fields import (
    STRICT,
    AfterRound,
    Area,
    ArealMass,
    ArealMassRange,
    AreaRange,
    BleedRange,
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
    LengthRange,
    Mass,
    MassPerLength,
    MetalSection,
    MoneyRange,
    Number,
    Operation,
    Plies,
    Pressure,
    Rough,
    ShareRange,
    Supplied,
    Text,
    VolumeRange,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What every entry of every trade has: a name, an id, a stage, times of its own."""

    __pydantic_config__: ClassVar = STRICT
    naming: ClassVar = "part"
    part: Word
    id: Text = ""
    stage: Text = ""
    standard: dict[Word, Operation] = field(default_factory=dict)


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
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialStrip:
    """A strip that was laid up and measured."""

    __pydantic_config__: ClassVar = STRICT
    plies: Count
    thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Flatten:
    """One flattening of a panel: what it removes from all faces together, and the pass that does it."""

    __pydantic_config__: ClassVar = STRICT
    after: AfterRound = None
    removes: LengthRange
    machine: Text = ""
    hours: HoursRange | None = None
    stepover: Length | None = None
    feed: Feed | None = None
    passes: Count = 1
    setup: Hours = 0.0
    attended: ShareRange | None = None
    who: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laminate(Part):
    """A panel of plies wetted out with resin and pressed in vacuum-bagging rounds."""

    length: Length
    width: Length
    thickness: Length
    ply: Plies
    ply_mass: ArealMass
    fibre: Word
    ply_thickness: LengthRange | None = None
    trial: tuple[TrialStrip, ...] = ()
    sheet_length: Length | None = None
    sheet_width: Length | None = None
    roll_width: Length | None = None
    overlap: Length = 0.0
    resin: Word
    block: Count = 1
    plies_per_round: Count | None = None
    time_per_ply: HoursRange | None = None
    learning: ShareRange | None = None
    bag_setup: HoursRange | None = None
    close_bag: HoursRange | None = None
    debag_time: HoursRange | None = None
    clean_up: HoursRange | None = None
    working_time: Hours | None = None
    spoilage: ShareRange | None = None
    bleed: BleedRange | None = None
    wet_out: ArealMassRange | None = None
    mixing_loss: ShareRange | None = None
    cure_time: Hours | None = None
    bag: Literal["disposable", "envelope", "reusable"] = "disposable"
    release_film: Flag = False
    vacuum: Pressure | None = None
    flatten: tuple[Flatten, ...] = ()
    supplied: Supplied = "bought"
    resin_supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Casting(Part):
    """Resin poured into a form."""

    volume: VolumeRange | None = None
    length: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    resin: Word
    extra: ShareRange | None = None
    mixing_loss: ShareRange | None = None
    pour_depth: Length | None = None
    supplied: Supplied = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating(Part):
    """Flood coats of resin."""

    area: AreaRange | None = None
    length: Length | None = None
    width: Length | None = None
    resin: Word
    thickness: LengthRange
    coats: Count = 1
    run_off: ShareRange | None = None
    mixing_loss: ShareRange | None = None
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
