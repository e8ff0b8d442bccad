"""Cut plans as one JSON object; `reference/json_keys.toml` lists its keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped
from quoting.money import exact, minor_digits

if TYPE_CHECKING:
    from quoting.nesting.record import CutPlan, SawnStock
    from quoting.runs.cut import CutOut


def cut_json(found: CutOut) -> str:
    """The keys of `quoting cut --json`. Lengths in metres from the corner of the stock as it is bought."""
    house = found.brief.shop.shop
    digits = minor_digits(house.currency)
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "job": found.brief.job.piece.code or found.brief.job.piece.title,
            "currency": house.currency,
            "plans": [_plan(plan, digits) for plan in found.plans],
            "not_planned": [item.name for item in found.unplanned],
            "not_used": [row.path for row in found.unused],
            "shapes": [
                {"part": one.part, "cut_away": one.left, "amount": exact(one.money, digits)}
                for one in found.shapes
            ],
            "rack": [
                {
                    "kind": row.kind,
                    "name": row.name,
                    "rough_m": row.rough_m,
                    "length_m": row.length_m,
                    "width_m": row.width_m,
                    "count": row.number,
                    "price": None if row.price is None else exact(row.price, digits),
                }
                for row in found.rack
            ],
            "interrupted": found.interrupted,
            "inputs": {source.name: source.sha256 for source in found.brief.sources},
        }
    )


def _plan(plan: CutPlan, digits: int) -> dict[str, Any]:
    money = {name: exact(getattr(plan, name), digits) for name in ("bought", "charged", "bound", "kept")}
    sizes = {
        name: getattr(plan, name) for name in ("trade", "item", "kind", "kerf_m", "needed", "taken", "waste")
    }
    rest = {"gap": plan.gap, "ended_early": plan.ended_early}
    return {**sizes, **money, **rest, "stocks": [_stock(stock, digits) for stock in plan.stocks]}


def _stock(stock: SawnStock, digits: int) -> dict[str, Any]:
    return {
        **stock._asdict(),
        "price": exact(stock.price, digits),
        "steps": [step._asdict() for step in stock.steps],
        "pieces": [piece._asdict() for piece in stock.pieces],
        "offcuts": [{**left._asdict(), "worth": exact(left.worth, digits)} for left in stock.offcuts],
    }
