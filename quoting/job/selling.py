"""Records of the shop file about selling: margin, fees, channels, delivery, tax, terms."""

from dataclasses import dataclass
from typing import Literal

from quoting.reading import fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing(fields.Strict):
    """`[pricing]`: margin, floor, reserve and rounding."""

    margin: fields.Share
    floor_margin: fields.Share
    reserve: fields.Text
    round_to: fields.Money
    least_price: fields.Money
    least_change: fields.Money
    charge_packs: tuple[fields.Word, ...]
    stale_after: fields.Days
    after_sale: fields.Share
    bad_debt: fields.Share
    rush: fields.Share
    channel: fields.Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee(fields.Strict):
    """`[fee.<name>]`: what a payment or a sale costs."""

    share: fields.Share = 0.0
    fixed: fields.Money = 0.0
    on: Literal["net", "total"] = "net"
    per: Literal["sale", "payment"] = "sale"


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel(fields.Strict):
    """`[channel.<name>]`: how a piece reaches its buyer."""

    fees: tuple[fields.Word, ...] = ()
    delivers: Literal["maker", "buyer"] = "maker"
    packing: fields.Text = ""
    days_to_sell: fields.Days = 0.0
    money_cost: fields.Share = 0.0
    tax: fields.Share | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryDefaults(fields.Strict):
    """`[delivery]`: own deliveries."""

    load_time: fields.HoursRange
    per_distance: fields.MoneyPerLength
    crew: fields.Count
    who: fields.Word
    speed: fields.SpeedRange
    free_distance: fields.Distance
    furthest: fields.Distance
    road_factor: fields.Number
    per_flight: fields.Money
    overhead_on_trip: fields.Flag
    packing: fields.Text = ""
    hired_van: fields.Money = 0.0
    hired_per_distance: fields.MoneyPerLength = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax(fields.Strict):
    """`[tax]`: sales tax or VAT."""

    registered: fields.Flag
    name: fields.Word
    rate: fields.Share
    tax_the_trip: fields.Flag
    shown: Literal["added", "included"]
    purchases: Literal["net", "gross"]
    reclaim: fields.Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class PaymentTerm(fields.Strict):
    """One payment: a share of the price or an amount."""

    name: fields.Word
    share: fields.Share | None = None
    amount: fields.Money | None = None
    due: fields.Text = ""
    taxed: Literal["on receipt", "on delivery"] = "on receipt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms(fields.Strict):
    """`[terms]`: what the paper promises."""

    valid: fields.Days
    payments: tuple[PaymentTerm, ...]
    words: fields.Text = ""
