"""Records of the shop file about selling: margin, fees, channels, delivery, tax, terms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from quoting.reading.fields import (
    STRICT,
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
    Text,
    Word,
)


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
    tax: Share | None = None


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
    hired_van: Money = 0.0
    hired_per_distance: MoneyPerLength = 0.0


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
