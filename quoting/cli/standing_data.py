"""Where a piece stands as a JSON object; `reference/json_keys.toml` lists its keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped, finite
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.forecast.panels import Choice, Panel
    from quoting.risk.drawn import Quantile
    from quoting.runs.standing import Stands


def standing_json(found: Stands) -> str:
    """The keys of `quoting standing --json`."""
    now, piece = found.standing, found.piece
    digits = piece.plan.digits
    ahead, one = now.to_go, now.earned
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "number": str(piece.number),
            "title": piece.quote.face.title,
            "state": piece.standing.words,
            "day": found.day.isoformat(),
            "currency": piece.plan.currency,
            "seed": now.seed,
            "draws": now.draws,
            "net": now.contract.net,
            "fees": now.contract.fees,
            "cost": levels(now.cost),
            "planned_cost": exact(now.planned_cost, digits),
            "cost_so_far": exact(now.spent, digits),
            "margin": [
                {"level": at.level, "value": margin} for at, margin in zip(now.cost, now.margins, strict=True)
            ],
            "quoted_margin": round(float(now.quoted), 9),
            "planned_margin": now.planned,
            "chance_of_loss": now.loses._asdict() if now.loses is not None else None,
            "labour_hours_to_go": levels(ahead.labour_h),
            "resin_litres_to_go": levels(ahead.resin_l),
            "bag_film_m2_to_go": levels(ahead.film_m2),
            "days_to_go": levels(ahead.days),
            "tasks_to_go": [task._asdict() for task in now.tasks],
            "laminates": [_panel(panel) for panel in now.panels],
            "choices": [_choice(choice) for choice in now.choices],
            "learnt": [lesson._asdict() for lesson in now.lessons],
            "drivers": [driver._asdict() for driver in now.drivers],
            "earned_value": None
            if one is None
            else {
                "bac": exact(one.bac, digits),
                "ev": exact(one.ev, digits),
                "ac": exact(one.ac, digits),
                "pv": exact(one.pv, digits),
                "cv": exact(one.cv, digits),
                "sv": exact(one.sv, digits),
                "cpi": one.cpi,
                "spi": one.spi if one.pv else None,
                "eac_at_budget": exact(one.eac_at_budget, digits),
                "eac_at_present": exact(one.eac_at_present, digits),
                "eac_at_both": exact(one.eac_at_both, digits) if one.pv else None,
                "tcpi": finite(one.tcpi),
            },
            "buying": [
                {**row._asdict(), "money": exact(row.money, digits), "needed_by": row.needed_by.isoformat(), "order_by": row.order_by.isoformat()}
                for row in now.buying
            ],
            "notes": list(found.notes),
        }
    )  # fmt: skip


def levels(band: tuple[Quantile, ...]) -> list[dict[str, Any]]:
    """Quantiles with their errors."""
    return [one._asdict() for one in band]


def _panel(one: Panel) -> dict[str, Any]:
    return {
        **one._asdict(),
        "plies_to_go": [{"plies": count, "chance": share} for count, share in one.plies_to_go],
        "rounds_to_go": [{"rounds": count, "chance": share} for count, share in one.rounds_to_go],
        "ply_m": levels(one.ply_m),
    }


def _choice(one: Choice) -> dict[str, Any]:
    bands = {name: levels(getattr(one, name)) for name in ("thickness_m", "cost", "days")}
    return {
        "part": one.part,
        "more_rounds": one.more,
        "rounds": one.rounds,
        "reaches": one.reaches,
        "margin": one.margin,
        **bands,
    }
