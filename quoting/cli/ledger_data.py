"""The ledger as JSON objects: units in key names, amounts as text in minor digits."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from quoting import __version__
from quoting.cli.as_data import FORMAT

if TYPE_CHECKING:
    from quoting.ledger.entries import Entry
    from quoting.logbook.in_hand import InHand
    from quoting.logbook.piece import Piece
    from quoting.runs.log import Shown
    from quoting.runs.pieces import Pieces


def pieces_json(found: Pieces) -> str:
    """Work in hand on a day."""
    rows = [_piece(one.piece) | _figures(one.figures) for one in found.rows]
    return _text({"day": found.day, "pieces": rows, "others": found.others})


def log_json(found: Shown) -> str:
    """Every entry of a piece or of the shop, and the lines that they fill."""
    data: dict[str, Any] = {
        "number": found.name,
        "entries": [_entry(entry) for entry in found.entries],
        "piece": None,
        "lines": [],
    }
    if found.piece is not None and found.figures is not None:
        data["piece"] = _piece(found.piece) | _figures(found.figures)
        data["lines"] = [
            {
                "id": one.line.id,
                "trade": one.line.trade,
                "planned_quantity": one.line.quantity,
                "planned_amount": one.line.amount,
                "quantity": one.quantity,
                "unit": one.line.measure,
                "amount": one.amount,
                "bought_quantity": one.bought,
                "paid": one.paid,
                "recorded": one.logged,
            }
            for one in found.figures.lines
        ]
    return _text(data)


def _piece(piece: Piece) -> dict[str, Any]:
    face = piece.quote.face
    return {
        "number": str(piece.number),
        "title": face.title,
        "client": face.client,
        "state": piece.standing.words,
        "since": piece.standing.since,
        "currency": face.currency,
    }


def _figures(figures: InHand) -> dict[str, Any]:
    contract = figures.contract
    return {
        "contract": contract.total,
        "contract_net": contract.net,
        "agreed": contract.firm,
        "received": figures.received,
        "owed": figures.owed,
        "held": figures.held,
        "cost_so_far": figures.cost,
        "still_to_spend": figures.to_spend,
        "not_recorded": figures.not_recorded,
        "expected_cost": figures.expected_cost,
        "planned_cost": figures.planned_cost,
        "labour_hours": figures.hours,
        "planned_labour_hours": figures.planned_hours,
        "expected_margin_amount": figures.kept,
        "expected_margin": None if figures.margin is None else float(round(figures.margin, 9)),
        "lines_not_recorded": list(figures.unrecorded),
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "id": entry.id,
        "kind": entry.kind,
        "day": entry.day,
        "said": entry.said,
        "line": entry.line,
        "task": entry.task,
        "part": entry.part,
        "stage": entry.stage,
        "item": entry.item,
        "who": entry.who,
        "round": entry.round,
        "plies": entry.plies,
        "amount": entry.amount,
        "unit": entry.unit,
        "hours": entry.hours,
        "money": entry.money,
        "receipt": entry.receipt,
        "words": entry.words,
        "about": entry.about,
        "takes_back": entry.counters,
        "source": entry.source,
    }


def _text(data: dict[str, Any]) -> str:
    whole = {"format": FORMAT, "engine": __version__, **data}
    return json.dumps(whole, ensure_ascii=False, indent=2, default=str)
