"""What really happened as JSON objects; `reference/json_keys.toml` lists their keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped, finite
from quoting.hindsight.said import sentence
from quoting.money import exact

if TYPE_CHECKING:
    from quoting.forecast.choices import Choice
    from quoting.forecast.panels import Panel
    from quoting.hindsight.bands import Calibration
    from quoting.hindsight.causes import Cause
    from quoting.hindsight.lines import Spent
    from quoting.risk.quantiles import Quantile
    from quoting.runs.learn import Lessons, Proposal
    from quoting.runs.review import Reviewed
    from quoting.runs.review_all import AllPieces
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


def review_json(found: Reviewed) -> str:
    """The keys of `quoting review NUMBER --json`."""
    one, piece = found.statement, found.build.piece
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "number": found.name,
            "title": piece.plan.job.piece.title,
            "state": piece.standing.words,
            "coarse": found.coarse,
            "currency": piece.plan.currency,
            "net": one.way.contract.net,
            "quoted_margin_amount": one.way.quoted,
            "bridge": one.way.steps,
            "actual_margin_amount": one.way.actual,
            "quoted_margin": one.quoted_share,
            "actual_margin": one.actual_share,
            "cost": one.cost,
            "overhead": one.overhead,
            "margin_before_overhead": one.without_overhead,
            "in_hand": one.in_hand,
            "own_hours": one.own_hours,
            "an_own_hour": one.an_hour,
            "labour_hours": one.hours,
            "material_worth": one.material_worth,
            "material_bought": one.material_bought,
            "material_given": one.given,
            "material_from_stock": one.from_stock,
            "not_recorded": one.not_recorded,
            "recorded_share": one.recorded_share,
            "lines_not_recorded": list(one.lines_not_recorded),
            "causes": [_cause(found, cause) for cause in one.causes],
            "tasks": [task._asdict() for task in one.tasks],
            "rounds": {part: [r._asdict() for r in rounds] for part, rounds in one.rounds.items()},
            "lines": [_spent(line) for line in one.lines],
        }
    )


def _cause(found: Reviewed, one: Cause) -> dict[str, Any]:
    words = sentence(found.build, found.statement, one, str)
    details = [detail._asdict() for detail in one.details]
    return {"kind": one.kind, "part": one.part, "effect": one.effect, "words": words, "details": details}


def _spent(one: Spent) -> dict[str, Any]:
    return {
        "id": one.line.id,
        "trade": one.line.trade,
        "planned_quantity": one.line.quantity,
        "standard_quantity": one.standard_quantity,
        "quantity": one.quantity,
        "unit": one.line.unit,
        "planned": one.planned,
        "standard": one.standard,
        "actual": one.actual,
        "recorded": one.recorded,
        "not_recorded": one.missing,
        "to_come": one.to_come,
        "parts": dict(one.parts),
    }


def all_json(found: AllPieces) -> str:
    """The keys of `quoting review --json`."""
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "currencies": {
                name: {
                    "pieces": tables.pieces,
                    "by_kind": tables.by_kind,
                    "by_client": tables.by_client,
                    "by_species": tables.by_species,
                    "by_trade": tables.by_trade,
                }
                for name, tables in found.tables.items()
            },
            "calibration": _calibration(found.calibration),
            "standards": [_proposal(one) for one in found.standards],
            "overhead": [
                {**one._asdict(), "variance": None if one.variance is None else one.variance._asdict()}
                for one in found.years
            ],
            "left_out": list(found.left_out),
            "unread": list(found.unread),
        }
    )


def learn_json(found: Lessons) -> str:
    """The keys of `quoting learn --json`."""
    return dumped(
        {
            "format": FORMAT,
            "engine": __version__,
            "pieces": found.pieces,
            "currency": found.currency,
            "standards": [_proposal(one) for one in found.proposals],
            "prices": [one._asdict() for one in found.prices],
            "calibration": _calibration(found.calibration),
            "patch": found.patch,
            "accepted": found.kept is not None,
            "former_file": found.kept.name if found.kept is not None else None,
            "unread": list(found.unread),
        }
    )


def _proposal(one: Proposal) -> dict[str, Any]:
    learned = one.learned
    return {
        "name": learned.name,
        "dimension": learned.dimension,
        "old": None if learned.old is None else learned.old.likely,
        "new": learned.new,
        "error": learned.error,
        "low": learned.low,
        "high": learned.high,
        "pieces": learned.pieces,
        "proposed": learned.proposed,
        "old_text": one.old_text,
        "new_text": one.new_text,
    }


def _calibration(found: Calibration) -> dict[str, Any]:
    bands = [{**one._asdict(), "held": one.held} for one in found.bands]
    return {"share_within": found.share, "width": found.width, "bands": bands}
