"""The quote as an electronic document: OASIS Universal Business Language 2.1, document type Quotation."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple
from xml.etree import ElementTree as ET

from quoting.documents.paper.text import Ink, QuoteText
from quoting.documents.quote.client_view import ClientView, Party, client_view, ready_words
from quoting.documents.quote.price_view import delivery_label, discount_label
from quoting.pricing.record import Priced

_NAME = "urn:oasis:names:specification:ubl:schema:xsd:"
QUOTATION, AGGREGATE, BASIC = (
    f"{_NAME}{part}-2" for part in ("Quotation", "CommonAggregateComponents", "CommonBasicComponents")
)
_UNFIT = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 has no way to write (production 2, Char)."""

METRE, PIECE = "MTR", "C62"


class Node(NamedTuple):
    """An element: what it holds is text, or further elements in the order of the schema."""

    name: str
    holds: str | tuple[Node, ...]
    attributes: tuple[tuple[str, str], ...] = ()


def electronic_quote_bytes(priced: Priced) -> bytes:
    """The quote of a priced job as UTF-8 XML; the same price gives the same bytes."""
    text = QuoteText(priced, Ink(None))
    for prefix, space in (("", QUOTATION), ("cac", AGGREGATE), ("cbc", BASIC)):
        ET.register_namespace(prefix, space)
    root = ET.Element(f"{{{QUOTATION}}}Quotation")
    for node in _quotation(priced, client_view(priced, text), text):
        _put(root, node)
    ET.indent(root)
    return bytes(ET.tostring(root, encoding="UTF-8", xml_declaration=True)) + b"\n"


def _put(parent: ET.Element, node: Node) -> None:
    space = BASIC if isinstance(node.holds, str) else AGGREGATE
    made = ET.SubElement(parent, f"{{{space}}}{node.name}", dict(node.attributes))
    if isinstance(node.holds, str):
        made.text = _UNFIT.sub("", node.holds)
        return
    for inner in node.holds:
        _put(made, inner)


def _quotation(priced: Priced, view: ClientView, text: QuoteText) -> Iterator[Node]:
    """The document in the order of its schema."""
    yield Node("UBLVersionID", "2.1")
    if priced.number:
        yield Node("ID", priced.number)
    yield Node("IssueDate", priced.day.isoformat())
    yield from (Node("Note", note) for note in _notes(priced, view, text))
    yield Node("PricingCurrencyCode", priced.currency)
    yield Node("LineCountNumeric", "1")
    yield Node("ValidityPeriod", (Node("EndDate", priced.valid_until.isoformat()),))
    if priced.replaces:
        what = text.label("replaces")
        held = (Node("ID", priced.replaces), *((Node("DocumentType", what),) if what else ()))
        yield Node("AdditionalDocumentReference", held)
    house, client = priced.shop.shop, priced.job.client
    yield Node("SellerSupplierParty", (_party(view.maker, house.address, house.phone, house.email),))
    if client.name or client.address or client.email:
        yield Node("BuyerCustomerParty", (_party(view.client, client.address, "", client.email),))
    if not priced.chain.surcharge:
        yield Node("DeliveryTerms", (Node("SpecialTerms", delivery_label(priced, text)),))
    if view.payments.rows:
        yield Node("TransactionConditions", tuple(_payments(view)))
    yield from _adjustments(priced, text)
    yield from _taxes(priced)
    yield _sums(priced)
    yield Node("QuotationLine", (_line(priced, view),))


def _notes(priced: Priced, view: ClientView, text: QuoteText) -> Iterator[str]:
    """What stands on the paper in words: that it is a draft, when it is ready, lists, options, terms."""
    if not priced.number:
        yield view.mark
    ready = ready_words(priced, text)
    if ready:
        yield f"{text.label('ready')}: {ready}"
    for passage in view.passages:
        yield "\n".join((passage.heading, *passage.words))
    for row in view.options.rows:
        yield f"{view.options.heading}: {' · '.join(filter(None, row))}"


def _payments(view: ClientView) -> Iterator[Node]:
    """A sentence for each payment, every figure under its name."""
    for row in view.payments.rows[:-1] if view.payments.summed else view.payments.rows:
        cells = zip(view.payments.columns, row, strict=True)
        yield Node("Description", " · ".join(f"{column} {cell}".strip() for column, cell in cells if cell))


def _party(party: Party, address: str, phone: str, email: str) -> Node:
    reached = (("Telephone", phone), ("ElectronicMail", email))
    contact = tuple(Node(name, said) for name, said in reached if said)
    written = filter(None, (line.strip() for line in address.splitlines()))
    lines = tuple(Node("AddressLine", (Node("Line", line),)) for line in written)
    held = [Node("PartyName", (Node("Name", party.name),))] if party.name else []
    held += [Node("PostalAddress", lines)] if lines else []
    held += [Node("Contact", contact)] if contact else []
    return Node("Party", tuple(held))


def _amount(name: str, amount: Decimal, priced: Priced) -> Node:
    return Node(name, f"{amount:f}", (("currencyID", priced.currency),))


def _adjustments(priced: Priced, text: QuoteText) -> Iterator[Node]:
    """Discount and delivery surcharge, before tax."""
    chain = priced.chain
    discount, surcharge = discount_label(priced, text), text.label("surcharge")
    for charged, why, amount in (("false", discount, chain.discount), ("true", surcharge, chain.surcharge)):
        if amount:
            held = (Node("ChargeIndicator", charged), Node("AllowanceChargeReason", why))
            yield Node("AllowanceCharge", (*held, _amount("Amount", amount, priced)))


def _taxes(priced: Priced) -> Iterator[Node]:
    """Tax in all, and on which part of the net price at which rate."""
    chain, rules = priced.chain, priced.rules
    if not chain.tax:
        return
    untaxed = chain.surcharge * (0 if rules.tax_on_delivery else 1)
    parts = [(chain.net - untaxed, chain.tax, rules.tax)]
    parts += [(untaxed, chain.tax * 0, rules.tax * 0)] if untaxed else []
    scheme = Node("TaxScheme", (Node("Name", priced.shop.tax.name),))
    held = [_amount("TaxAmount", chain.tax, priced)]
    for of, tax, rate in parts:
        category = Node("TaxCategory", (Node("Percent", f"{(rate * 100).normalize():f}"), scheme))
        amounts = (_amount("TaxableAmount", of, priced), _amount("TaxAmount", tax, priced))
        held.append(Node("TaxSubtotal", (*amounts, category)))
    yield Node("TaxTotal", tuple(held))


def _sums(priced: Priced) -> Node:
    chain = priced.chain
    figures = (
        ("LineExtensionAmount", chain.goods),
        ("TaxExclusiveAmount", chain.net),
        ("TaxInclusiveAmount", chain.total),
        ("AllowanceTotalAmount", chain.discount),
        ("ChargeTotalAmount", chain.surcharge),
        ("PayableAmount", chain.total),
    )
    return Node("QuotedMonetaryTotal", tuple(_amount(name, amount, priced) for name, amount in figures))


def _line(priced: Priced, view: ClientView) -> Node:
    """The piece: number, price of them all before tax, title, words, size."""
    piece = priced.job.piece
    count, pieces = str(piece.quantity), (("unitCode", PIECE),)
    item = [Node("Description", view.words)] if view.words else []
    item.append(Node("Name", view.title))
    if piece.code:
        item.append(Node("SellersItemIdentification", (Node("ID", piece.code),)))
    for name, side in (("length", piece.length), ("width", piece.width), ("height", piece.height)):
        if side is not None:
            measure = Node("Measure", f"{round(side, 4):.10g}", (("unitCode", METRE),))
            item.append(Node("Dimension", (Node("AttributeID", name), measure)))
    each = (_amount("PriceAmount", priced.chain.goods, priced), Node("BaseQuantity", count, pieces))
    held = (
        Node("ID", "1"),
        Node("Quantity", count, pieces),
        _amount("LineExtensionAmount", priced.chain.goods, priced),
        Node("Price", each),
        Node("Item", tuple(item)),
    )
    return Node("LineItem", held)
