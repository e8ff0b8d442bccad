"""Record of shop.toml: the workshop's standing data. What it leaves out stands in the template."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from quoting.inputs.fields import (
    STRICT,
    Area,
    ArealMassRange,
    BleedRange,
    Coordinates,
    Count,
    CountOrNone,
    CoverageRange,
    Days,
    Density,
    Distance,
    Flag,
    Hours,
    HoursRange,
    Length,
    Money,
    MoneyPerArea,
    MoneyPerEnergy,
    MoneyPerLength,
    Number,
    NumberRange,
    Power,
    Ratio,
    Rough,
    Share,
    ShareRange,
    SpeedRange,
    Text,
    Volume,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """Working days and hours of a week."""

    __pydantic_config__: ClassVar = STRICT
    days: Number
    hours: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """`[shop]`: who and where."""

    __pydantic_config__: ClassVar = STRICT
    name: Word
    address: Text = ""
    email: Text = ""
    phone: Text = ""
    currency: Word
    locale: Word
    units: Literal["inch", "metric"]
    paper: Literal["A4", "Letter"]
    accent: Word
    logo: Text = ""
    place: Coordinates | None = None
    altitude: Length
    week: Week
    booked_ahead: Days
    office_time: Literal["job", "overhead"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pay:
    """`[pay.<who>]`: a rate, or an income to be earned in paid hours."""

    __pydantic_config__: ClassVar = STRICT
    rate: Money | None = None
    burden: Share = 0.0
    wanted_income: Money | None = None
    contributions: Money = 0.0
    paid_hours: Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineData:
    """`[machine.<name>]`: a rate an hour, or what it is built up from."""

    __pydantic_config__: ClassVar = STRICT
    rate: Money | None = None
    price: Money | None = None
    resale: Money = 0.0
    life_hours: Number | None = None
    upkeep_per_year: Money = 0.0
    hours_per_year: Number | None = None
    power: Power = 0.0
    tariff: MoneyPerEnergy = 0.0
    attended: ShareRange | None = None


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
    per_area: dict[Word, MoneyPerArea]
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Sundry:
    """`[sundries.<name>]`: small things nobody counts."""

    __pydantic_config__: ClassVar = STRICT
    per_labour_hour: Money = 0.0
    share_of_materials: Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """`[supplier.<name>]`: carriage, paid when the order is smaller than `free_over`."""

    __pydantic_config__: ClassVar = STRICT
    carriage: Money = 0.0
    least_order: Money = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """`[pace]`: how the maker's hours as a whole run against the standards."""

    __pydantic_config__: ClassVar = STRICT
    factor: NumberRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """`[pricing]`: margin, floor, reserve and rounding."""

    __pydantic_config__: ClassVar = STRICT
    margin: Share
    floor_margin: Share
    contingency: Text
    round_to: Money
    least_price: Money
    least_change: Money
    charge_packs: tuple[Word, ...]
    stale_after: Days
    after_sale: Share
    bad_debt: Share
    rush: Share
    channel: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee:
    """`[fee.<name>]`: what a payment or a sale costs."""

    __pydantic_config__: ClassVar = STRICT
    share: Share = 0.0
    fixed: Money = 0.0
    on: Literal["net", "total"] = "net"
    per: Literal["sale", "payment"] = "sale"


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """`[channel.<name>]`: how a piece reaches its buyer."""

    __pydantic_config__: ClassVar = STRICT
    fees: tuple[Word, ...] = ()
    delivers: Literal["maker", "buyer"] = "maker"
    packing: Text = ""
    days_to_sell: Days = 0.0
    money_cost: Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryDefaults:
    """`[delivery]`: own deliveries."""

    __pydantic_config__: ClassVar = STRICT
    load_time: HoursRange
    per_distance: MoneyPerLength
    crew: Count
    who: Word
    speed: SpeedRange
    free_radius: Distance
    furthest: Distance
    circuity: Number
    per_stair: Money
    overhead_on_trip: Flag
    packing: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax:
    """`[tax]`: sales tax or VAT."""

    __pydantic_config__: ClassVar = STRICT
    registered: Flag
    name: Word
    rate: Share
    on_delivery: Flag
    shown: Literal["added", "included"]
    purchases: Literal["net", "gross"]
    reclaim: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One payment: a share of the price or an amount."""

    __pydantic_config__: ClassVar = STRICT
    name: Word
    share: Share | None = None
    amount: Money | None = None
    due: Text = ""
    taxed: Literal["on receipt", "on delivery"] = "on receipt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """`[terms]`: what the paper promises."""

    __pydantic_config__: ClassVar = STRICT
    valid: Days
    stages: tuple[Stage, ...]
    words: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """`[lift]`: how a panel is lifted, for the handling caution (revised NIOSH lifting equation)."""

    __pydantic_config__: ClassVar = STRICT
    horizontal: Length
    vertical: Length
    travel: Length
    grip: Literal["good", "fair", "poor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warnings:
    """`[warnings]`: limits beyond which the maker is warned."""

    __pydantic_config__: ClassVar = STRICT
    working_time_used: Share
    flatten_share: Share
    scrap_share: Share
    lift_index: Number
    deposit_cover: Share
    tip_over_height: Length
    clipped_share: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """`[risk]`: seed and number of draws."""

    __pydantic_config__: ClassVar = STRICT
    seed: CountOrNone
    draws: Count


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The whole shop file, defaults filled in."""

    __pydantic_config__: ClassVar = STRICT
    format: Literal[1]
    shop: House
    pay: dict[Word, Pay]
    overhead: dict[Word, Money]
    machine: dict[Word, MachineData] = field(default_factory=dict)
    timber: Timber
    laminate: LaminateDefaults
    bagging: Bagging
    resin: dict[Word, Resin] = field(default_factory=dict)
    glass: dict[Word, Tariff] = field(default_factory=dict)
    sheet: SheetDefaults
    casting: CastingDefaults
    coating: CoatingDefaults
    finish: FinishDefaults
    metal: MetalDefaults
    standard: dict[Word, Standard]
    sundries: dict[Word, Sundry] = field(default_factory=dict)
    supplier: dict[Word, Supplier] = field(default_factory=dict)
    pace: Pace
    pricing: Pricing
    fee: dict[Word, Fee] = field(default_factory=dict)
    channel: dict[Word, Channel] = field(default_factory=dict)
    delivery: DeliveryDefaults
    tax: Tax
    terms: Terms
    lift: Lift
    warnings: Warnings
    risk: Risk
