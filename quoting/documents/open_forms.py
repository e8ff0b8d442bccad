"""Documents in open forms: the quote as OASIS UBL 2.1, the offer of a piece for a web page (schema.org), the days of a build (RFC 5545)."""

import json
import math
import re
from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from hashlib import sha256
from typing import Any
from xml.etree import ElementTree as ET

from quoting.documents.bench.sections import is_away, stage_rows
from quoting.documents.bench.text import MakerText
from quoting.documents.paper.text import Ink, QuoteText
from quoting.documents.quote.client_view import ClientView, Party, client_view, ready_words
from quoting.documents.quote.price_view import delivery_label, discount_label
from quoting.pricing.channels import Selling
from quoting.pricing.record import Priced
from quoting.pricing.sale import Sale

_NAME = "urn:oasis:names:specification:ubl:schema:xsd:"
QUOTATION, AGGREGATE, BASIC = (
    f"{_NAME}{part}-2" for part in ("Quotation", "CommonAggregateComponents", "CommonBasicComponents")
)
_UNFIT = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 has no way to write (production 2, Char)."""

METRE, KILOGRAM, DAY, PIECE = "MTR", "KGM", "DAY", "C62"
"""Common codes of UN/CEFACT, which both UBL and schema.org ask for."""

PRODUCT = "-//quoting//build calendar//EN"


def element(name: str, *holds: str | ET.Element, **attributes: str) -> ET.Element:
    """An element: what it holds is text, or further elements in the order of the schema."""
    text = next((one for one in holds if isinstance(one, str)), None)
    made = ET.Element(f"{{{AGGREGATE if text is None else BASIC}}}{name}", attributes)
    made.text = None if text is None else _UNFIT.sub("", text)
    made.extend(one for one in holds if isinstance(one, ET.Element))
    return made


def electronic_quote_bytes(priced: Priced) -> bytes:
    """The quote of a priced job as UTF-8 XML; the same price gives the same bytes."""
    text = QuoteText(priced, Ink(None))
    for prefix, space in (("", QUOTATION), ("cac", AGGREGATE), ("cbc", BASIC)):
        ET.register_namespace(prefix, space)
    root = ET.Element(f"{{{QUOTATION}}}Quotation")
    root.extend(_quotation(priced, client_view(priced, text), text))
    ET.indent(root)
    return bytes(ET.tostring(root, encoding="UTF-8", xml_declaration=True)) + b"\n"


def _quotation(priced: Priced, view: ClientView, text: QuoteText) -> Iterator[ET.Element]:
    """The document in the order of its schema."""
    yield element("UBLVersionID", "2.1")
    if priced.number:
        yield element("ID", priced.number)
    yield element("IssueDate", priced.day.isoformat())
    yield from (element("Note", note) for note in _notes(priced, view, text))
    yield element("PricingCurrencyCode", priced.currency)
    yield element("LineCountNumeric", "1")
    yield element("ValidityPeriod", element("EndDate", priced.valid_until.isoformat()))
    if priced.replaces:
        what = text.label("replaces")
        held = [element("DocumentType", what)] if what else []
        yield element("AdditionalDocumentReference", element("ID", priced.replaces), *held)
    house, client = priced.shop.shop, priced.job.client
    yield element("SellerSupplierParty", _party(view.maker, house.address, house.phone, house.email))
    if client.name or client.address or client.email:
        yield element("BuyerCustomerParty", _party(view.client, client.address, "", client.email))
    if not priced.chain.surcharge:
        yield element("DeliveryTerms", element("SpecialTerms", delivery_label(priced, text)))
    if view.payments.rows:
        yield element("TransactionConditions", *_payments(view))
    yield from _adjustments(priced, text)
    yield from _taxes(priced)
    yield _sums(priced)
    yield element("QuotationLine", _line(priced, view))


def _notes(priced: Priced, view: ClientView, text: QuoteText) -> Iterator[str]:
    """What stands on the paper in words: that it is a draft, when it is ready, lists, options, terms."""
    if not priced.number:
        yield view.mark
    if ready := ready_words(priced, text):
        yield f"{text.label('ready')}: {ready}"
    for passage in view.passages:
        yield "\n".join((passage.heading, *passage.words))
    for row in view.options.rows:
        yield f"{view.options.heading}: {' · '.join(filter(None, row))}"


def _payments(view: ClientView) -> Iterator[ET.Element]:
    """A sentence for each payment, every figure under its name."""
    for row in view.payments.rows[:-1] if view.payments.summed else view.payments.rows:
        cells = zip(view.payments.columns, row, strict=True)
        yield element("Description", " · ".join(f"{column} {cell}".strip() for column, cell in cells if cell))


def _party(party: Party, address: str, phone: str, email: str) -> ET.Element:
    reached = (("Telephone", phone), ("ElectronicMail", email))
    contact = [element(name, said) for name, said in reached if said]
    written = (line.strip() for line in address.splitlines())
    lines = [element("AddressLine", element("Line", line)) for line in written if line]
    held = [element("PartyName", element("Name", party.name))] if party.name else []
    held += [element("PostalAddress", *lines)] if lines else []
    held += [element("Contact", *contact)] if contact else []
    return element("Party", *held)


def _amount(name: str, amount: Decimal, priced: Priced) -> ET.Element:
    return element(name, f"{amount:f}", currencyID=priced.currency)


def _adjustments(priced: Priced, text: QuoteText) -> Iterator[ET.Element]:
    """Discount and delivery surcharge, before tax."""
    chain = priced.chain
    discount, surcharge = discount_label(priced, text), text.label("surcharge")
    for charged, why, amount in (("false", discount, chain.discount), ("true", surcharge, chain.surcharge)):
        if amount:
            held = (element("ChargeIndicator", charged), element("AllowanceChargeReason", why))
            yield element("AllowanceCharge", *held, _amount("Amount", amount, priced))


def _taxes(priced: Priced) -> Iterator[ET.Element]:
    """Tax in all, and on which part of the net price at which rate."""
    chain, rules = priced.chain, priced.rules
    if not chain.tax:
        return
    untaxed = chain.surcharge * (0 if rules.tax_the_trip else 1)
    parts = [(chain.net - untaxed, chain.tax, rules.tax)]
    parts += [(untaxed, chain.tax * 0, rules.tax * 0)] if untaxed else []
    held = [_amount("TaxAmount", chain.tax, priced)]
    for of, tax, rate in parts:
        scheme = element("TaxScheme", element("Name", priced.shop.tax.name))
        category = element("TaxCategory", element("Percent", f"{(rate * 100).normalize():f}"), scheme)
        amounts = (_amount("TaxableAmount", of, priced), _amount("TaxAmount", tax, priced))
        held.append(element("TaxSubtotal", *amounts, category))
    yield element("TaxTotal", *held)


def _sums(priced: Priced) -> ET.Element:
    chain = priced.chain
    return element(
        "QuotedMonetaryTotal",
        _amount("LineExtensionAmount", chain.goods, priced),
        _amount("TaxExclusiveAmount", chain.net, priced),
        _amount("TaxInclusiveAmount", chain.total, priced),
        _amount("AllowanceTotalAmount", chain.discount, priced),
        _amount("ChargeTotalAmount", chain.surcharge, priced),
        _amount("PayableAmount", chain.total, priced),
    )


def _line(priced: Priced, view: ClientView) -> ET.Element:
    """The piece: number, price of them all before tax, title, words, size."""
    piece = priced.job.piece
    count, goods = str(piece.quantity), priced.chain.goods
    item = [element("Description", view.words)] if view.words else []
    item.append(element("Name", view.title))
    if piece.code:
        item.append(element("SellersItemIdentification", element("ID", piece.code)))
    for name, side in (("length", piece.length), ("width", piece.width), ("height", piece.height)):
        if side is not None:
            measure = element("Measure", f"{round(side, 4):.10g}", unitCode=METRE)
            item.append(element("Dimension", element("AttributeID", name), measure))
    amount = _amount("LineExtensionAmount", goods, priced)
    each = (_amount("PriceAmount", goods, priced), element("BaseQuantity", count, unitCode=PIECE))
    counted = (element("ID", "1"), element("Quantity", count, unitCode=PIECE))
    return element("LineItem", *counted, amount, element("Price", *each), element("Item", *item))


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
        offer["deliveryLeadTime"] = _measured(math.ceil(priced.quantities["lead_days"] - 1e-9), DAY)
    text = json.dumps(offer, ensure_ascii=False, indent=2)
    return f"{text}\n".replace("<", "\\u003c").encode()  # no end of a script on a page


def _product(priced: Priced) -> dict[str, Any]:
    piece = priced.job.piece
    product = _filled("Product", name=piece.title, description=piece.words)
    for name, side in (("depth", piece.width), ("width", piece.length), ("height", piece.height)):
        if side is not None:
            product[name] = _measured(round(side, 4), METRE)
    if mass := round(priced.quantities["mass_kg"], 1):
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
