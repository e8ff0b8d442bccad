"""Records of the shop file about selling: margin, fees, channels, delivery, tax, terms."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading.fields import (
    Count,
    Days,
    Distance,
    Flag,
    HoursRange,
    Money,
    MoneyPerLength,
    Number,
    Share,
    SpeedRange,
    Strict,
    Text,
    Word,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing(Strict):
    """`[pricing]`: margin, floor, reserve and rounding."""

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
class Fee(Strict):
    """`[fee.<name>]`: what a payment or a sale costs."""

    share: Share = 0.0
    fixed: Money = 0.0
    on: Literal["net", "total"] = "net"
    per: Literal["sale", "payment"] = "sale"


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel(Strict):
    """`[channel.<name>]`: how a piece reaches its buyer."""

    fees: tuple[Word, ...] = ()
    delivers: Literal["maker", "buyer"] = "maker"
    packing: Text = ""
    days_to_sell: Days = 0.0
    money_cost: Share = 0.0
    tax: Share | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryDefaults(Strict):
    """`[delivery]`: own deliveries."""

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
    hired_van: Money = 0.0
    hired_per_distance: MoneyPerLength = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax(Strict):
    """`[tax]`: sales tax or VAT."""

    registered: Flag
    name: Word
    rate: Share
    on_delivery: Flag
    shown: Literal["added", "included"]
    purchases: Literal["net", "gross"]
    reclaim: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage(Strict):
    """One payment: a share of the price or an amount."""

    name: Word
    share: Share | None = None
    amount: Money | None = None
    due: Text = ""
    taxed: Literal["on receipt", "on delivery"] = "on receipt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms(Strict):
    """`[terms]`: what the paper promises."""

    valid: Days
    stages: tuple[Stage, ...]
    words: Text = ""
