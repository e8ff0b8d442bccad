"""What finished pieces say together as JSON objects; `reference/json_keys.toml` lists their keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT, dumped

if TYPE_CHECKING:
    from quoting.review.pieces import Calibration
    from quoting.runs.learn import Lessons, Proposal
    from quoting.runs.review import AllPieces


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
