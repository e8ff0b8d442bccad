"""Records of the shop file that the trades read: standing sizes, losses, data sheets, standard times."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from quoting.reading.fields import (
    STRICT,
    Area,
    ArealMassRange,
    BleedRange,
    Count,
    CountOrNone,
    CoverageRange,
    Days,
    Density,
    Flag,
    Hours,
    HoursRange,
    Length,
    LengthRange,
    Money,
    MoneyPerArea,
    MoneyPerLength,
    Number,
    Ratio,
    Rough,
    Share,
    ShareRange,
    Text,
    Volume,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timber:
    """`[timber]`: how boards are bought and what is lost."""

    __pydantic_config__: ClassVar = STRICT
    sizes: tuple[Rough, ...]
    sold_by: Literal["bd ft", "m3"]
    count_under_one_inch: Flag
    tally: Literal["exact", "surface measure"]
    planing_allowance: Length
    length_allowance: Length
    width_allowance: Length
    stave_width: Length
    joint_loss: Length
    waste: ShareRange
    waste_matched: ShareRange
    moisture: Share
    kerf: Length = 0.0
    end_trim: Length = 0.0
    stave_least: Length = 0.0
    stave_most: Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSpecies:
    """`[species.<name>]`: density at 12 % moisture of a timber that the reference table lacks; waste of its own."""

    __pydantic_config__: ClassVar = STRICT
    density: Density | None = None
    waste: ShareRange | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPly:
    """`[ply.<item>]`: cured thickness of one ply, where a job gives neither that nor trial strips."""

    __pydantic_config__: ClassVar = STRICT
    thickness: LengthRange


@dataclass(frozen=True, slots=True, kw_only=True)
class LaminateDefaults:
    """`[laminate]`: lay-up, losses and times of a bagging round."""

    __pydantic_config__: ClassVar = STRICT
    trim: Length
    spoilage: ShareRange
    bleed: BleedRange
    wet_out: ArealMassRange
    mixing_loss: ShareRange
    working_time_used: Share
    learning: ShareRange
    bag_setup: HoursRange
    close_bag: HoursRange
    debag_time: HoursRange
    clean_up: HoursRange
    trial_spread: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Bagging:
    """`[bagging]`: geometry of one cycle and the price-book items it uses up."""

    __pydantic_config__: ClassVar = STRICT
    margin: Length
    beyond: Length
    pleat_height: Length
    pleats: CountOrNone
    peel_border: Length
    breather_border: Length
    tape_extra: Share
    film: Word
    tape: Word
    peel_ply: Word
    release_film: Word
    breather: Word
    bag_price: Money
    bag_cycles: Count
    per_cycle: dict[Word, Number] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin:
    """`[resin.<item>]`: what the data sheet says. Volumes and densities of mixed resin."""

    __pydantic_config__: ClassVar = STRICT
    ratio_by_volume: Ratio | None = None
    ratio_by_mass: Ratio | None = None
    density: Density
    working_time: Hours
    cure_time: Hours
    pour_depth: Length
    most_in_one_mix: Volume
    heat_note: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff:
    """`[glass.<tariff>]`: a glazier's price list."""

    __pydantic_config__: ClassVar = STRICT
    round_side: Length
    least_area: Area
    per_area: dict[Length, MoneyPerArea]
    per_edge: dict[Word, MoneyPerLength]
    edge: Word
    per_hole: Money
    factor: dict[Word, Number]
    factor_on: Literal["area", "all"]
    least_charge: Money = 0.0
    supplier: Text = ""
    lead: Days = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDefaults:
    """`[sheet]`: sheet goods."""

    __pydantic_config__: ClassVar = STRICT
    kerf: Length
    trim: Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CastingDefaults:
    """`[casting]`: cast resin."""

    __pydantic_config__: ClassVar = STRICT
    extra: ShareRange
    mixing_loss: ShareRange


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatingDefaults:
    """`[coating]`: flood coats."""

    __pydantic_config__: ClassVar = STRICT
    run_off: ShareRange
    mixing_loss: ShareRange


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishDefaults:
    """`[finish]`: oils and varnishes."""

    __pydantic_config__: ClassVar = STRICT
    coats: Count
    coverage: CoverageRange
    dry_time: Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalDefaults:
    """`[metal]`: bar, tube and flat stock."""

    __pydantic_config__: ClassVar = STRICT
    kerf: Length
    stock_length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """`[standard.<operation>]`: time of an operation, per what drives it."""

    __pydantic_config__: ClassVar = STRICT
    per: Literal[
        "bd ft", "m3", "panel", "m2", "m2 grit", "ply m2", "joint", "part", "cycle", "batch",
        "m2 coat", "pour", "supplier", "job", "piece", "new part",
    ]  # fmt: skip
    time: HoursRange
    shaped: HoursRange | None = None
    grits: Count = 1
    setup: HoursRange | None = None
    setup_per: Literal["item", "part", "coat"] = "part"
    who: Word = "owner"
    stage: Word = "bench"
    applies_to: tuple[Word, ...]
