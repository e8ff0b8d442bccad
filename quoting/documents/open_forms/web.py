"""What a maker's web page and any calendar take in: the offer of a piece (schema.org), the days of a build (RFC 5545)."""

from __future__ import annotations

import json
import math
from datetime import UTC, datetime, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from icalendar import Calendar, Event

from quoting.documents.bench.sections import AWAY, stage_rows
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink

if TYPE_CHECKING:
    from quoting.documents.bench.sections import StageRow
    from quoting.pricing.channels import Selling
    from quoting.pricing.record import Priced
    from quoting.pricing.sale import Sale


METRE, DAY = "MTR", "DAY"  # UN/CEFACT common codes, as schema.org asks for


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


def calendar_bytes(priced: Priced) -> bytes:
    """Every stage as an event of whole days; the same price gives the same bytes.

    An event keeps its UID as long as the quote and the stage are the same, so that a newer file moves it. What only waits or cures
    leaves the day free.
    """
    text = MakerText(priced, Ink(None))
    found = Calendar()
    found.add("prodid", PRODUCT)
    found.add("version", "2.0")
    found.add("method", "PUBLISH")
    title = " ".join(part for part in (priced.number, priced.job.piece.code, priced.job.piece.title) if part)
    found.add("x-wr-calname", title)
    for row in stage_rows(priced, text):
        found.add_component(_event(row, title, priced))
    return bytes(found.to_ical())


def _event(row: StageRow, title: str, priced: Priced) -> Event:
    event = Event()
    told = "\0".join((priced.number, priced.job.piece.code, priced.job.piece.title, row.kind, row.part))
    event.add("uid", f"{sha256(told.encode()).hexdigest()[:32]}@quoting")
    event.add("dtstamp", datetime.combine(priced.day, time(), UTC))
    event.add("summary", f"{title}: {row.name}")
    event.add("dtstart", row.first)
    event.add("dtend", max(row.last, row.first + timedelta(days=1)))
    event.add("transp", "TRANSPARENT" if row.kind in AWAY else "OPAQUE")
    return event
