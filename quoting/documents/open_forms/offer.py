"""The offer of a piece as an open record: schema.org `Offer` in JSON-LD, for the maker's own web page."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Sale

METRE, DAY = "MTR", "DAY"  # UN/CEFACT common codes, as schema.org asks for


def offer_bytes(priced: Priced, through: Selling, sale: Sale, built: bool) -> bytes:
    """The record as UTF-8 JSON. It holds what a buyer may know, and nothing of cost."""
    house, piece = priced.shop.shop, priced.job.piece
    amount = f"{sale.seen:f}"
    offer: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Offer",
        "itemOffered": _product(priced),
        "price": amount,
        "priceCurrency": priced.currency,
        "priceSpecification": {
            "@type": "PriceSpecification",
            "price": amount,
            "priceCurrency": priced.currency,
            **({"valueAddedTaxIncluded": through.rules.included} if sale.tax else {}),
        },
        "availability": f"https://schema.org/{'InStock' if built else 'MadeToOrder'}",
        "itemCondition": "https://schema.org/NewCondition",
        "seller": _filled(
            {"@type": "Organization", "name": house.name, "email": house.email, "telephone": house.phone}
        ),
    }
    if piece.code:
        offer["sku"] = piece.code
    if not built:
        days = math.ceil(priced.quantities["lead_days"] - 1e-9)
        offer["deliveryLeadTime"] = {"@type": "QuantitativeValue", "value": days, "unitCode": DAY}
    text = json.dumps(offer, ensure_ascii=False, indent=2).replace(
        "<", "\\u003c"
    )  # no end of a script on a page
    return f"{text}\n".encode()


def _product(priced: Priced) -> dict[str, Any]:
    piece = priced.job.piece
    product: dict[str, Any] = _filled({"@type": "Product", "name": piece.title, "description": piece.words})
    for name, side in (("depth", piece.width), ("width", piece.length), ("height", piece.height)):
        if side is not None:
            product[name] = {"@type": "QuantitativeValue", "value": round(side, 4), "unitCode": METRE}
    mass = round(priced.quantities["mass_kg"], 1)
    if mass:
        product["weight"] = {"@type": "QuantitativeValue", "value": mass, "unitCode": "KGM"}
    return product


def _filled(record: dict[str, str]) -> dict[str, Any]:
    return {name: text for name, text in record.items() if text}
