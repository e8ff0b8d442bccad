"""The statement of a piece made of sayings, without a ledger below it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from logbook.logs import entries, piece

from quoting.forecast.build import build_of
from quoting.ledger.states import Standing
from quoting.review.statement import statement

if TYPE_CHECKING:
    from review.conftest import Sample

    from quoting.forecast.build import Build
    from quoting.review.statement import Statement

HANDED_OVER = {"built": True, "delivered": True}


def build(of: Sample, *sayings: dict[str, Any], **state: Any) -> Build:
    stands = Standing(deal=str(state.pop("deal", "agreed")), since=of.plan.day, **(state or HANDED_OVER))
    return build_of(piece(of.plan, entries(of.plan, *sayings), stands), of.brief)


def review(of: Sample, *sayings: dict[str, Any], **state: Any) -> Statement:
    return statement(build(of, *sayings, **state))


def to_plan(of: Sample) -> list[dict[str, Any]]:
    """Everything that the plan says, logged as it was planned."""
    said: list[dict[str, Any]] = []
    for line in of.plan.lines:
        if line.trade in ("labour", "machine"):
            kind = "hours" if line.trade == "labour" else "machine"
            said.append({"kind": kind, "value": f"{line.quantity!r} h", "line": line.id, "about": True})
        elif line.measure not in ("h", "of materials", "order", "trip", "of cost") and line.trade not in (
            "setback",
            "outwork",
        ):
            unit = "" if line.measure == "each" else f" {line.measure}"
            said.append({"kind": "used", "value": f"{line.quantity!r}{unit}", "line": line.id})
    return said
