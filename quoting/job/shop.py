"""Record of shop.toml: the workshop's standing data. What it leaves out stands in the template."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from quoting.by_trade import BY_TRADE
from quoting.job.selling import Channel, DeliveryDefaults, Fee, Pricing, Tax, Terms
from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin(fields.Strict):
    """`[resin.<item>]`: what the data sheet says. Volumes and densities of mixed resin."""

    ratio_by_volume: fields.Ratio | None = None
    ratio_by_mass: fields.Ratio | None = None
    density: fields.Density
    working_time: fields.Hours
    cure_time: fields.Hours
    pour_depth: fields.Length
    most_in_one_mix: fields.Volume
    heat_note: fields.Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard(fields.Strict):
    """`[standard.<operation>]`: time of an operation, per what drives it: what trades count, or a job as a whole."""

    per: fields.Word
    time: fields.HoursRange
    shaped: fields.HoursRange | None = None
    grits: fields.Count = 1
    setup: fields.HoursRange | None = None
    setup_per: Literal["item", "part", "coat"] = "part"
    who: fields.Word = "owner"
    stage: fields.Word = "bench"
    applies_to: tuple[fields.Word, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Week(fields.Strict):
    """Working days and hours of a week."""

    days: fields.Number
    hours: fields.Number


@dataclass(frozen=True, slots=True, kw_only=True)
class House(fields.Strict):
    """`[shop]`: who and where."""

    name: fields.Word
    address: fields.Text = ""
    email: fields.Text = ""
    phone: fields.Text = ""
    currency: fields.Word
    locale: fields.Word
    units: Literal["inch", "metric"]
    paper: Literal["A4", "Letter"]
    accent: fields.Word
    logo: fields.Text = ""
    place: fields.Coordinates | None = None
    altitude: fields.Length
    week: Week
    booked_ahead: fields.Days
    office_time: Literal["job", "overhead"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pay(fields.Strict):
    """`[pay.<who>]`: a rate, or an income to be earned in sold hours."""

    rate: fields.Money | None = None
    on_top: fields.Share = 0.0
    earn_a_year: fields.Money | None = None
    contributions: fields.Money = 0.0
    sold_hours: fields.Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineData(fields.Strict):
    """`[machine.<name>]`: a rate an hour, or what it is built up from."""

    rate: fields.Money | None = None
    price: fields.Money | None = None
    resale: fields.Money = 0.0
    life_hours: fields.Number | None = None
    upkeep_per_year: fields.Money = 0.0
    hours_per_year: fields.Number | None = None
    power: fields.Power = 0.0
    tariff: fields.MoneyPerEnergy = 0.0
    attended: fields.ShareRange | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sundry(fields.Strict):
    """`[sundries.<name>]`: small things nobody counts."""

    per_labour_hour: fields.Money = 0.0
    share_of_materials: fields.Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier(fields.Strict):
    """`[supplier.<name>]`: carriage, paid when the order is smaller than `least_order`."""

    carriage: fields.Money = 0.0
    least_order: fields.Money = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace(fields.Strict):
    """`[pace]`: how the maker's hours as a whole run against the standards."""

    factor: fields.NumberRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift(fields.Strict):
    """`[lift]`: how a panel is lifted, for the handling caution (revised NIOSH lifting equation)."""

    horizontal: fields.Length
    vertical: fields.Length
    travel: fields.Length
    grip: Literal["good", "fair", "poor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warnings(fields.Strict):
    """`[warnings]`: limits beyond which the maker is warned."""

    working_time_used: fields.Share
    flatten_share: fields.Share
    scrap_share: fields.Share
    lift_index: fields.Number
    deposit_cover: fields.Share
    tip_over_height: fields.Length
    clipped_share: fields.Share
    recorded_share: fields.Share = 0.0
    wide_board: fields.Number = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk(fields.Strict):
    """`[risk]`: seed and number of draws."""

    seed: fields.CountOrNone
    draws: fields.Count


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged(fields.Strict):
    """`[logged]`: how far what is logged of one round may lie from the next, a standard deviation."""

    hours: fields.Share = 0.0
    used: fields.Share = 0.0
    thickness: fields.Length = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause(fields.Strict):
    """A multiplier drawn once a run; fields name it to move together."""

    factor: fields.NumberRange


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDefaults(fields.Strict):
    """`[cut]` of a shop: how boards that are cut are charged, and what of them is kept."""

    charge: Literal["whole", "used"] = "whole"
    rack_waste: fields.Share = 0.0
    offcut_length: fields.Length = 0.0
    offcut_width: fields.Length = 0.0
    offcut_worth: fields.Share = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(fields.Strict):
    """The whole shop file, defaults filled in; sections of trades by name, read by keys such as TIMBER."""

    format: fields.Format
    shop: House
    pay: dict[fields.Word, Pay]
    overhead: dict[fields.Word, fields.Money]
    machine: dict[fields.Word, MachineData] = field(default_factory=dict)
    sections: Mapping[str, Any] = field(default_factory=dict, metadata=BY_TRADE)
    resin: dict[fields.Word, Resin] = field(default_factory=dict)
    standard: dict[fields.Word, Standard]
    sundries: dict[fields.Word, Sundry] = field(default_factory=dict)
    supplier: dict[fields.Word, Supplier] = field(default_factory=dict)
    pace: Pace
    cause: dict[fields.Word, Cause] = field(default_factory=dict)
    pricing: Pricing
    fee: dict[fields.Word, Fee] = field(default_factory=dict)
    channel: dict[fields.Word, Channel] = field(default_factory=dict)
    delivery: DeliveryDefaults
    tax: Tax
    terms: Terms
    lift: Lift
    warnings: Warnings
    risk: Risk
    logged: Logged = field(default_factory=Logged)
    cut: CutDefaults = field(default_factory=CutDefaults)
