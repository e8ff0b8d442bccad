"""Results as one JSON object: units in key names, amounts as text in minor digits."""

from __future__ import annotations

import json
import math
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quoting import __version__

if TYPE_CHECKING:
    from quoting.pricing.record import Priced, RateShown

FORMAT = 1


def _plain(value: object) -> str:
    return str(value)


def dumped(data: dict[str, Any]) -> str:
    """An object as JSON text; amounts become text, and a number that is none is refused."""
    return json.dumps(data, ensure_ascii=False, indent=2, default=_plain, allow_nan=False)


def finite(value: float | None) -> float | None:
    """A number as JSON knows it: infinity, which it lacks, is null."""
    return value if value is not None and math.isfinite(value) else None


def price_json(result: Priced) -> str:
    """The whole price."""
    return dumped(price_data(result))


def price_data(result: Priced) -> dict[str, Any]:
    """The keys of `quoting price --json`; `reference/json_keys.toml` lists them."""
    chain = result.chain
    return {
        "format": FORMAT,
        "engine": __version__,
        "job": result.job.piece.code or result.job.piece.title,
        "number": result.number,
        "currency": result.currency,
        "date": result.day.isoformat(),
        "quantities": result.quantities,
        "lines": [
            {name: one for name, one in line._asdict().items() if name != "kind"} for line in result.lines
        ],
        "cost": result.cost,
        "price": {
            "margin": _share(chain.margin),
            "markup": _share(chain.markup),
            "floor_margin": _share(result.rules.floor),
            "asked_margin": _share(result.rules.margin),
            "ruled_by": chain.ruled_by,
            "goods": chain.goods,
            "discount": chain.discount,
            "fees": chain.fee_total,
            "fee_lines": chain.fees,
            "delivery_extra": chain.delivery_extra,
            "surcharge": chain.surcharge,
            "net": chain.net,
            "tax": chain.tax,
            "total": chain.total,
            "stages": [{**payment._asdict(), "total": payment.total} for payment in result.payments],
        },
        "options": [option._asdict() for option in result.options],
        "buying": [line._asdict() for line in result.buying],
        "unsure": [one._asdict() for one in result.unsure],
        "warnings": [one._asdict() for one in result.warnings],
        "cautions": [words for _, words in result.cautions],
        "policies_broken": list(result.policies_broken),
        "starter_values": result.starter_values,
        "inputs": result.sha256,
    }


def _share(value: Decimal) -> float:
    return float(round(value, 9))


def rates_json(rates: tuple[RateShown, ...], doubles: list[str], currency: str) -> str:
    """The rates of a shop."""
    data = {
        "format": FORMAT,
        "engine": __version__,
        "currency": currency,
        "rates": {rate.name: {"per_hour": rate.per_hour, "words": rate.words} for rate in rates},
        "counted_twice": doubles,
    }
    return json.dumps(data, ensure_ascii=False, indent=2)
