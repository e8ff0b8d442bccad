"""Answers of the commands that help to decide as one JSON object each; `reference/json_keys.toml` lists their keys."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped, finite
from quoting.cli.distances import unit_of
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.pricing.channels import Selling
    from quoting.pricing.compare import Row, Version
    from quoting.pricing.outlook import Outlook
    from quoting.pricing.reach import Radius
    from quoting.pricing.reach import Row as Distance
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Outcome, Sale
    from quoting.risk.drawn import Quantile
    from quoting.runs.reach import Found as Reached
    from quoting.runs.risk import Compared
    from quoting.runs.sell import Found as Sold


def risk_json(priced: Priced, found: Outlook) -> str:
    """The keys of `quoting risk --json`; `reference/json_keys.toml` lists them."""
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "job": priced.job.piece.code or priced.job.piece.title,
            "currency": priced.currency,
            "seed": found.seed,
            "draws": found.draws,
            "planned_cost": round(found.plan, 9),
            "chance_plan_met": found.met._asdict(),
            "cost": _levels(found.cost),
            "margin": [
                {"level": one.level, "value": margin}
                for one, margin in zip(found.cost, found.margins, strict=True)
            ],
            "price_total": priced.chain.total,
            "chance_of_loss": found.loses._asdict(),
            "chance_below_floor": found.misses_floor._asdict(),
            "chance_below_margin": found.misses_margin._asdict(),
            "price_total_covering_p80": found.covering,
            "labour_hours": _levels(found.labour_h),
            "machine_hours": _levels(found.machine_h),
            "resin_litres": _levels(found.resin_l),
            "lead_days": _levels(found.lead_d),
            "bagging_rounds": [{"rounds": count, "chance": share} for count, share in found.rounds],
            "share_of_variance": "first-order Sobol index",
            "drivers": [one._asdict() for one in found.drivers],
            "setbacks": [one._asdict() for one in found.setbacks],
            "share_together": found.together,
            "clipped": dict(found.clipped),
            "inputs": priced.sha256,
        }
    )


def _levels(band: tuple[Quantile, ...]) -> list[dict[str, Any]]:
    return [one._asdict() for one in band]


def reach_json(found: Reached) -> str:
    """The keys of `quoting reach --json`; `reference/json_keys.toml` lists them. Distances in metres by road."""
    reach = found.reach
    _, unit = unit_of(found.shop)
    also = () if found.asked_m is None else (found.asked_m,)
    place = (
        None
        if found.place is None
        else {"latitude": found.place.latitude, "longitude": found.place.longitude}
    )
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "title": found.title,
            "currency": found.shop.shop.currency,
            "price": reach.sale.seen,
            "net": reach.sale.net,
            "costs": [one._asdict() for one in reach.costs],
            "floor_margin": float(reach.rules.floor),
            "asked_margin": float(reach.rules.margin),
            "circuity": reach.circuity,
            "free_radius_m": reach.free_m,
            "furthest_m": reach.furthest_m,
            "radii": [_radius_data(one) for one in reach.radii()],
            "ways": [_radius_data(one) for one in reach.by_way()],
            "distances": [_row_data(one) for one in reach.rows(unit, *also)],
            "asked_m": found.asked_m,
            "straight_m": found.straight_m,
            "place": place,
            "carrier": found.carrier,
            "carrier_beyond_m": None if found.carrier_m is None else finite(max(found.carrier_m, 0.0)),
        }
    )


def _radius_data(one: Radius) -> dict[str, Any]:
    return {
        "name": one.name,
        "at_floor_m": finite(one.at_floor),
        "at_margin_m": finite(one.at_margin),
        "floor_anywhere": one.at_floor is not None and math.isinf(one.at_floor),
        "margin_anywhere": one.at_margin is not None and math.isinf(one.at_margin),
    }


def _row_data(one: Distance) -> dict[str, Any]:
    found = {name: finite(value) for name, value in one._asdict().items()}
    return {"road_m": found.pop("distance"), **found}


def compare_json(found: Compared) -> str:
    """The keys of `quoting compare --json`; `reference/json_keys.toml` lists them."""
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "currency": found.versions[0].priced.currency,
            "seed": found.seed,
            "draws": len(found.versions[0].run.cost),
            "versions": [_version(found, i) for i in range(len(found.versions))],
        }
    )


def _version(found: Compared, i: int) -> dict[str, Any]:
    one = found.versions[i]
    return {
        "name": one.name,
        "job": one.priced.job.piece.code or one.priced.job.piece.title,
        "changes": list(one.changes),
        "figures": {row.name: _figure(row, i, one) for row in found.rows},
        "surely_differs": [row.name for row in found.rows if row.sure and row.sure[i]],
        "answers": [
            {
                "name": answer.name,
                "figure": finite(answer.figure),
                "words": answer.words,
            }
            for answer in found.answers[i]
        ],
        "inputs": one.priced.sha256,
    }


def _figure(row: Row, i: int, version: Version) -> Any:
    """A figure of a version: an amount in minor digits, or a number."""
    money = row.kind in ("money", "about")
    return exact(row.values[i], version.priced.digits) if money else row.values[i]


def sell_json(found: Sold) -> str:
    """The keys of `quoting sell --json`; `reference/json_keys.toml` lists them."""
    spending, own = found.spending, found.own
    digits = found.priced.digits
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "piece": found.name,
            "title": found.priced.job.piece.title,
            "state": found.state,
            "currency": found.priced.currency,
            "actual": spending.actual,
            "still_to_spend": exact(spending.cash_to_spend, digits),
            "cash_spent": exact(spending.cash_spent, digits),
            "not_recorded": exact(spending.not_recorded, digits),
            "cost_in_the_workshop": exact(spending.base, digits),
            "reserve_left": exact(spending.reserve, digits),
            "cost_with_own_pay": exact(own.cost, digits),
            "own_hours": spending.own_hours,
            "own_pay": exact(spending.own_pay, digits),
            "channel": found.channel,
            "target_price": own.list_price.seen if own.list_price else None,
            "asked": None if found.asked is None else _outcome_data(found.asked, digits),
            "expected": [_outcome_data(one, digits) for one in found.expected],
            "channels": [_channel_data(one, digits) for one in found.channels],
        }
    )


def _outcome_data(one: Outcome, digits: int) -> dict[str, Any]:
    hour = None if one.an_hour is None else exact(one.an_hour, digits)
    in_hand = exact(one.in_hand, digits)
    return {**_sale(one.sale), "stays_in_hand": in_hand, "an_own_hour": hour, "margin": one.margin}


def _sale(sale: Sale) -> dict[str, Any]:
    return {
        "price": sale.seen,
        "net": sale.net,
        "tax": sale.tax,
        "fees": sale.fees,
        "set_aside": sale.set_aside,
        "reaches_hand": sale.in_hand,
    }


def _channel_data(one: Selling, digits: int) -> dict[str, Any]:
    radius = one.radius
    return {
        "name": one.name,
        "delivers": one.delivers,
        "cost": exact(one.cost, digits),
        "margin": float(one.rules.margin),
        "floor_margin": float(one.rules.floor),
        "list_price": _sale(one.list_price) if one.list_price else None,
        "floor_price": _sale(one.floor_price) if one.floor_price else None,
        "pickup_price": _sale(one.pickup) if one.pickup else None,
        "haggle": one.haggle,
        "haggle_share": one.haggle_share,
        "radius_at_floor_m": None if radius is None else finite(radius.at_floor),
        "radius_at_margin_m": None
        if radius is None or radius.at_margin is None
        else finite(radius.at_margin),
        "trouble": one.trouble,
    }
