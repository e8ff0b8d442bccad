"""What a finished piece came to as a JSON object; `reference/json_keys.toml` lists its keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped
from quoting.review.causes import sentence

if TYPE_CHECKING:
    from quoting.review.causes import Cause
    from quoting.review.lines import Spent
    from quoting.runs.review import Reviewed


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
    words = sentence(found.build, found.statement.missing, one, str)
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
