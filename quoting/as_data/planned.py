"""What a job comes to, for other programs: its price, how sure it is, how far it goes, what it is sold for, versions, cuts, rates."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import TYPE_CHECKING

from quoting.as_data.record import Data, amounts, by_name, chances, margins, picked, piece_name, share
from quoting.money import exact, minor_digits

if TYPE_CHECKING:
    from quoting.pricing.channels import Selling
    from quoting.pricing.compare import Row, Version
    from quoting.pricing.outlook import Outlook
    from quoting.pricing.reach import Radius
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Outcome
    from quoting.runs.cut import CutOut
    from quoting.runs.pricing import Rates
    from quoting.runs.reach import Found as Reach
    from quoting.runs.risk import Compared
    from quoting.runs.sell import Found as Sale
    from quoting.takeoff.stock import CutPlan, SawnStock

LINE = "id trade part item stage quantity unit rate amount supplied measure basis source"


def price_data(found: Priced) -> Data:
    """A price for other programs."""
    chain, rules = found.chain, found.rules
    way = picked(
        chain,
        "margin markup floor_margin asked_margin ruled_by goods discount fees=fee_total fee_lines=fees"
        " delivery_extra surcharge net tax total payments",
        margin=share(chain.margin),
        markup=share(chain.markup),
        floor_margin=share(rules.floor),
        asked_margin=share(rules.margin),
        payments=[picked(one, "name net tax due total") for one in found.payments],
    )
    return picked(
        found,
        "job number currency date=day brief quantities lines cost price options buying unsure warnings cautions"
        " policies_broken starter_values inputs=sha256",
        job=piece_name(found.job),
        brief=_brief(found),
        lines=[picked(line, LINE) for line in found.lines],
        price=way,
        cautions=[words for _, words in found.cautions],
    )


def _brief(found: Priced) -> Data:
    """What is asked first of a price: own hours and what each earns, cash to lay out, the day it is ready, where the price before tax goes."""
    from quoting.pricing.in_brief import in_brief

    brief = in_brief(found)
    earned = amounts(brief, found.digits, "an_hour")
    return picked(brief, "own_hours an_hour cash ready shares", **earned)


def rates_data(found: Rates) -> Data:
    """What an hour costs, for other programs."""
    return {
        "currency": found.currency,
        "sold_hour": picked(found.sold, "total pay overhead sundries reserve fees margin"),
        "rates": {rate.name: picked(rate, "per_hour words") for rate in found.rates},
        "counted_twice": found.counted_twice,
    }


def risk_data(priced: Priced, found: Outlook) -> Data:
    """An outlook for other programs."""
    return picked(
        found,
        "job currency seed draws planned_cost chance_plan_met=met cost margin price_total"
        " chance_of_loss=loses chance_below_floor=misses_floor chance_below_margin=misses_margin"
        " price_total_covering_p80=covering labour_hours=labour_h machine_hours=machine_h"
        " resin_litres=resin_l lead_days=lead_d bagging_rounds share_of_variance drivers setbacks"
        " share_together=together clipped inputs",
        job=piece_name(priced.job),
        currency=priced.currency,
        planned_cost=round(found.plan, 9),
        margin=margins(found.cost, found.margins),
        price_total=priced.chain.total,
        bagging_rounds=chances(found.rounds, "rounds"),
        share_of_variance="first-order Sobol index",
        inputs=priced.sha256,
    )


def compare_data(found: Compared) -> Data:
    """Versions for other programs."""
    return {
        "currency": found.versions[0].priced.currency,
        "seed": found.seed,
        "draws": len(found.versions[0].run.cost),
        "versions": [_version(found, i) for i in range(len(found.versions))],
    }


def _version(found: Compared, i: int) -> Data:
    one = found.versions[i]
    return picked(
        one,
        "name job changes figures surely_differs answers inputs=priced.sha256",
        job=piece_name(one.priced.job),
        figures={row.name: _figure(row, i, one) for row in found.rows},
        surely_differs=[row.name for row in found.rows if row.sure and row.sure[i]],
        answers=[picked(answer, "name figure words") for answer in found.answers[i]],
    )


def _figure(row: Row, i: int, version: Version) -> Decimal | float:
    """A figure of a version: an amount in minor digits, or a number."""
    as_money = row.kind in ("money", "about")
    return exact(row.values[i], version.priced.digits) if as_money else row.values[i]


def cut_data(found: CutOut) -> Data:
    """A cut plan for other programs. Lengths in metres from the corner of the stock as it is bought."""
    house = found.brief.shop.shop
    digits = minor_digits(house.currency)
    rack, shape = "kind name rough_m length_m width_m count=number price", "part cut_away=left"
    return {
        "job": piece_name(found.brief.job),
        "currency": house.currency,
        "plans": [_plan(plan, digits) for plan in found.brief.plans],
        "not_planned": [item.name for item in found.unplanned],
        "not_used": [row.path for row in found.unused],
        "shapes": [picked(one, shape, **amounts(one, digits, "amount=money")) for one in found.shapes],
        "rack": [picked(row, rack, **amounts(row, digits, "price")) for row in found.rack],
        "interrupted": found.interrupted,
        "inputs": {source.name: source.sha256 for source in found.brief.sources},
    }


def _plan(plan: CutPlan, digits: int) -> Data:
    keys = "trade item kind kerf_m needed taken waste bought charged bound kept gap ended_early stocks"
    paid = amounts(plan, digits, "bought charged bound kept")
    return picked(plan, keys, **paid, stocks=[_stock(stock, digits) for stock in plan.stocks])


def _stock(stock: SawnStock, digits: int) -> Data:
    offcuts = [by_name(left, **amounts(left, digits, "worth")) for left in stock.offcuts]
    return by_name(stock, **amounts(stock, digits, "price"), offcuts=offcuts)


DISTANCE = "road_m=distance trip free_margin surcharge margin needed"


def reach_data(found: Reach) -> Data:
    """A reach for other programs. Distances in metres by road."""
    return picked(
        found,
        "title currency=shop.shop.currency price=reach.sale.seen net=reach.sale.net costs=reach.costs"
        " floor_margin asked_margin road_factor=reach.road_factor free_distance_m=reach.free_m"
        " furthest_m=reach.furthest_m radii ways distances asked_m straight_m place carrier carrier_beyond_m",
        floor_margin=float(found.reach.rules.floor),
        asked_margin=float(found.reach.rules.margin),
        radii=[_radius_data(one) for one in found.reach.radii()],
        ways=[_radius_data(one) for one in found.reach.by_way()],
        distances=[picked(one, DISTANCE) for one in found.distances()],
        place=None if found.place is None else picked(found.place, "latitude longitude"),
        carrier_beyond_m=None if found.carrier_m is None else max(found.carrier_m, 0.0),
    )


def _radius_data(one: Radius) -> Data:
    floor, asked = (at is not None and math.isinf(at) for at in (one.at_floor, one.at_margin))
    keys = "name at_floor_m=at_floor at_margin_m=at_margin"
    return picked(one, keys, floor_anywhere=floor, margin_anywhere=asked)


SALE = "price=seen net tax fees set_aside reaches_hand=in_hand"


def sell_data(found: Sale) -> Data:
    """What a piece can be sold for, for other programs."""
    digits = found.piece.priced.digits
    spent = (
        "still_to_spend=cash_to_spend cash_spent not_recorded cost_in_the_workshop=base reserve_left=reserve"
        " own_pay"
    )
    return picked(
        found,
        "piece=piece.name title=piece.priced.job.piece.title state=piece.state currency=piece.priced.currency"
        " actual=piece.spending.actual still_to_spend cash_spent not_recorded cost_in_the_workshop reserve_left"
        " cost_with_own_pay own_hours=piece.spending.own_hours own_pay channel=own.name"
        " target_price=own.list_price.seen asked expected channels",
        **amounts(found.piece.spending, digits, spent),
        **amounts(found.own, digits, "cost_with_own_pay=cost"),
        asked=None if found.asked is None else _outcome_data(found.asked, digits),
        expected=[_outcome_data(one, digits) for one in found.expected],
        channels=[_channel_data(one, digits) for one in found.channels],
    )


def _outcome_data(one: Outcome, digits: int) -> Data:
    paid = amounts(one, digits, "stays_in_hand=in_hand an_own_hour=an_hour")
    return {**picked(one.sale, SALE), **paid, "margin": one.margin}


def _channel_data(one: Selling, digits: int) -> Data:
    sales = {"list_price": one.list_price, "floor_price": one.floor_price, "pickup_price": one.pickup}
    return picked(
        one,
        "name delivers cost margin floor_margin list_price floor_price pickup_price haggle haggle_share"
        " radius_at_floor_m=radius.at_floor radius_at_margin_m=radius.at_margin trouble",
        **amounts(one, digits, "cost"),
        margin=float(one.rules.margin),
        floor_margin=float(one.rules.floor),
        **{key: None if sale is None else picked(sale, SALE) for key, sale in sales.items()},
    )
