"""The price as the client reads it: how the total comes about, when it is paid, what else there is."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Literal, NamedTuple

from quoting.documents.paper.text import QuoteText
from quoting.pricing.record import Priced


class PriceRow(NamedTuple):
    """A row of the price. `within` is part of the total and stands below it."""

    label: str
    amount: str
    kind: Literal["line", "subtotal", "total", "within"] = "line"


class Schedule(NamedTuple):
    """A table of two columns of words and one or more of figures."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    summed: bool = False


def price_rows(priced: Priced, text: QuoteText) -> Iterator[PriceRow]:
    """List price, discount, delivery, subtotal, tax, total: the rows above the total sum to it.

    Where prices are shown with their tax, so is every row, and the tax in them stands below the total.
    """
    chain, count = priced.chain, priced.job.piece.quantity
    inside = priced.rules.included and bool(chain.tax)
    goods = text.label("list_price_many", count=str(count)) if count > 1 else text.label("list_price")
    yield PriceRow(goods, text.money(chain.seen.goods))
    if chain.discount:
        yield PriceRow(discount_label(priced, text), text.money(-chain.seen.discount))
    if chain.surcharge:
        yield PriceRow(text.label("surcharge"), text.money(chain.seen.surcharge))
    else:
        yield PriceRow(delivery_label(priced, text), "")
    if chain.tax and not inside:
        if chain.discount or chain.surcharge:
            yield PriceRow(text.label("subtotal"), text.money(chain.net), "subtotal")
        yield PriceRow(_tax_of_all(priced, text, "tax_added"), text.money(chain.tax))
    yield PriceRow(text.label("total"), text.money(chain.total), "total")
    if inside:
        yield PriceRow(_tax_of_all(priced, text, "tax_included"), text.money(chain.tax), "within")
        yield PriceRow(text.label("net"), text.money(chain.net), "within")


def discount_label(priced: Priced, text: QuoteText) -> str:
    """What was taken off, and why."""
    why = text.ink("price.why", priced.job.price.why)
    return f"{text.label('discount')} ({why})" if why else text.label("discount")


def delivery_label(priced: Priced, text: QuoteText) -> str:
    """Delivery that costs nothing more: in the price, or the client's own way."""
    if priced.carried_m is None:
        return f"{text.label('delivery')}: {text.label('collected')}"
    radius = text.measure(priced.shop.delivery.free_distance, "distance")
    return f"{text.label('delivery')}: {text.label('delivery_included', distance=radius)}"


def tax_label(priced: Priced, text: QuoteText, name: str, rate: Decimal) -> str:
    """The tax by its name and rate: added to a price, or within it."""
    return text.label(name, name=text.ink("tax.name", priced.shop.tax.name), rate=text.share(rate))


def _tax_of_all(priced: Priced, text: QuoteText, name: str) -> str:
    tax = tax_label(priced, text, name, priced.rules.tax)
    untaxed = priced.chain.surcharge and not priced.rules.tax_the_trip
    return text.label("delivery_untaxed", tax=tax) if untaxed else tax


def payment_schedule(priced: Priced, text: QuoteText) -> Schedule:
    """What is paid when; net and tax apart where there is tax, and their sum."""
    shown = {"net": "net", "tax": "tax", "total": "amount"} if priced.chain.tax else {"total": "amount"}
    columns = ("", text.label("due"), *map(text.label, shown.values()))

    def amounts(of: Any) -> tuple[str, ...]:
        return tuple(text.money(getattr(of, name)) for name in shown)

    rows = [
        (text.ink("terms.payments", one.name), text.ink("terms.payments", one.due), *amounts(one))
        for one in priced.payments
    ]
    summed = len(rows) > 1
    if summed:
        rows.append((text.label("total"), "", *amounts(priced.chain)))
    return Schedule(text.label("payments"), columns, tuple(rows), summed)


def option_schedule(priced: Priced, text: QuoteText) -> Schedule:
    """The options of the job with their totals; no rows where the maker keeps them to the shop."""
    kept = {one.name for one in priced.job.option if not one.show}
    rows = [
        (text.ink("option.name", one.name), text.ink("option.words", one.words), text.money(one.total))
        for one in priced.options
        if priced.job.quote.show_options and one.name not in kept
    ]
    return Schedule(text.label("options"), ("", "", text.label("total")), tuple(rows))
