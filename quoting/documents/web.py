"""What a maker's web page and any calendar take in: the offer of a piece (schema.org), the days of a build (RFC 5545)."""

import json
import math
from datetime import UTC, datetime, time, timedelta
from hashlib import sha256
from typing import Any

from quoting.documents.bench.sections import is_away, stage_rows
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink
from quoting.pricing.channels import Selling
from quoting.pricing.record import Priced
from quoting.pricing.sale import Sale

METRE, KILOGRAM, DAY = "MTR", "KGM", "DAY"  # UN/CEFACT common codes, as schema.org asks for

PRODUCT = "-//quoting//build calendar//EN"


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
        "seller": _filled("Organization", name=house.name, email=house.email, telephone=house.phone),
    }
    if piece.code:
        offer["sku"] = piece.code
    if not built:
        days = math.ceil(priced.quantities["lead_days"] - 1e-9)
        offer["deliveryLeadTime"] = _measured(days, DAY)
    text = json.dumps(offer, ensure_ascii=False, indent=2)
    return f"{text}\n".replace("<", "\\u003c").encode()  # no end of a script on a page


def _product(priced: Priced) -> dict[str, Any]:
    piece = priced.job.piece
    product = _filled("Product", name=piece.title, description=piece.words)
    for name, side in (("depth", piece.width), ("width", piece.length), ("height", piece.height)):
        if side is not None:
            product[name] = _measured(round(side, 4), METRE)
    mass = round(priced.quantities["mass_kg"], 1)
    if mass:
        product["weight"] = _measured(mass, KILOGRAM)
    return product


def _measured(value: float, unit: str) -> dict[str, Any]:
    return {"@type": "QuantitativeValue", "value": value, "unitCode": unit}


def _filled(kind: str, **fields: str) -> dict[str, Any]:
    return {"@type": kind, **{name: text for name, text in fields.items() if text}}


def calendar_bytes(priced: Priced) -> bytes:
    """Every stage as an event of whole days; the same price gives the same bytes.

    An event keeps its UID as long as the quote and the stage are the same, so that a newer file moves it. What only waits or cures
    leaves the day free.
    """
    from icalendar import Calendar, Event

    text = MakerText(priced, Ink(None))
    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("method", "PUBLISH")
    names = (priced.number, priced.job.piece.code, priced.job.piece.title)
    title = " ".join(part for part in names if part)
    found.add("x-wr-calname", title)
    for row in stage_rows(priced, text):
        event = Event()
        same = "\0".join((*names, row.kind, row.part))
        event.add("uid", f"{sha256(same.encode()).hexdigest()[:32]}@quoting")
        event.add("dtstamp", datetime.combine(priced.day, time(), UTC))
        event.add("summary", f"{title}: {row.name}")
        event.add("dtstart", row.first)
        event.add("dtend", max(row.last, row.first + timedelta(days=1)))
        event.add("transp", "TRANSPARENT" if is_away(row.kind) else "OPAQUE")
        found.add_component(event)
    return bytes(found.to_ical())
