"""Record of shop.toml: the workshop's standing data. What it leaves out stands in the template."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from quoting.declaration import BY_TRADE
from quoting.job.selling import Channel, DeliveryDefaults, Fee, Pricing, Tax, Terms
from quoting.reading.fields import (
    Coordinates,
    Count,
    CountOrNone,
    Days,
    Density,
    Format,
    Hours,
    HoursRange,
    Length,
    Money,
    MoneyPerEnergy,
    Number,
    NumberRange,
    Power,
    Ratio,
    Share,
    ShareRange,
    Strict,
    Text,
    Volume,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin(Strict):
    """`[resin.<item>]`: what the data sheet says. Volumes and densities of mixed resin."""

    ratio_by_volume: Ratio | None = None
    ratio_by_mass: Ratio | None = None
    density: Density
    working_time: Hours
    cure_time: Hours
    pour_depth: Length
    most_in_one_mix: Volume
    heat_note: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard(Strict):
    """`[standard.<operation>]`: time of an operation, per what drives it: what trades count, or a job as a whole."""

    per: Word
    time: HoursRange
    shaped: HoursRange | None = None
    grits: Count = 1
    setup: HoursRange | None = None
    setup_per: Literal["item", "part", "coat"] = "part"
    who: Word = "owner"
    stage: Word = "bench"
    applies_to: tuple[Word, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Week(Strict):
    """Working days and hours of a week."""

    days: Number
    hours: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class House(Strict):
    """`[shop]`: who and where."""

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
class Pay(Strict):
    """`[pay.<who>]`: a rate, or an income to be earned in paid hours."""

    rate: Money | None = None
    burden: Share = 0.0
    wanted_income: Money | None = None
    contributions: Money = 0.0
    paid_hours: Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineData(Strict):
    """`[machine.<name>]`: a rate an hour, or what it is built up from."""

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
class Sundry(Strict):
    """`[sundries.<name>]`: small things nobody counts."""

    per_labour_hour: Money = 0.0
    share_of_materials: Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier(Strict):
    """`[supplier.<name>]`: carriage, paid when the order is smaller than `least_order`."""

    carriage: Money = 0.0
    least_order: Money = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace(Strict):
    """`[pace]`: how the maker's hours as a whole run against the standards."""

    factor: NumberRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift(Strict):
    """`[lift]`: how a panel is lifted, for the handling caution (revised NIOSH lifting equation)."""

    horizontal: Length
    vertical: Length
    travel: Length
    grip: Literal["good", "fair", "poor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warnings(Strict):
    """`[warnings]`: limits beyond which the maker is warned."""

    working_time_used: Share
    flatten_share: Share
    scrap_share: Share
    lift_index: Number
    deposit_cover: Share
    tip_over_height: Length
    clipped_share: Share
    recorded_share: Share = 0.0
    wide_board: Number = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk(Strict):
    """`[risk]`: seed and number of draws."""

    seed: CountOrNone
    draws: Count


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged(Strict):
    """`[logged]`: how far what is logged of one round may lie from the next, a standard deviation."""

    hours: Share = 0.0
    used: Share = 0.0
    thickness: Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause(Strict):
    """A multiplier drawn once a run; fields name it to move together."""

    factor: NumberRange


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDefaults(Strict):
    """`[cut]` of a shop: how boards that are cut are charged, and what of them is kept."""

    charge: Literal["whole", "used"] = "whole"
    shelf_waste: Share = 0.0
    offcut_length: Length = 0.0
    offcut_width: Length = 0.0
    offcut_worth: Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(Strict):
    """The whole shop file, defaults filled in; sections of trades by name, read by keys such as TIMBER."""

    format: Format
    shop: House
    pay: dict[Word, Pay]
    overhead: dict[Word, Money]
    machine: dict[Word, MachineData] = field(default_factory=dict)
    sections: Mapping[str, Any] = field(default_factory=dict, metadata=BY_TRADE)
    resin: dict[Word, Resin] = field(default_factory=dict)
    standard: dict[Word, Standard]
    sundries: dict[Word, Sundry] = field(default_factory=dict)
    supplier: dict[Word, Supplier] = field(default_factory=dict)
    pace: Pace
    cause: dict[Word, Cause] = field(default_factory=dict)
    pricing: Pricing
    fee: dict[Word, Fee] = field(default_factory=dict)
    channel: dict[Word, Channel] = field(default_factory=dict)
    delivery: DeliveryDefaults
    tax: Tax
    terms: Terms
    lift: Lift
    warnings: Warnings
    risk: Risk
    logged: Logged = field(default_factory=Logged)
    cut: CutDefaults = field(default_factory=CutDefaults)
