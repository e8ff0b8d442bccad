"""What a piece brings in: its quote and changes, the price of a sale, what is kept of a cancelled order."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from logbook.conftest import JOBS
from logbook.logs import TODAY, piece
from sharing import DAY

from quoting import runs
from quoting.ledger.entries import Change, Entry
from quoting.ledger.states import Standing
from quoting.logbook.in_hand import in_hand
from quoting.logbook.piece import Ordered, contract_of
from quoting.pricing.sale import agreed_price, change_price

if TYPE_CHECKING:
    from quoting.pricing.record import Priced

LEAST = Decimal(50)


def ordered(net: str, tax: str, fees: str) -> Ordered:
    change = Change(1, "agreed", Decimal(net), Decimal(tax), Decimal(fees), Decimal(net))
    return Ordered(Entry(kind="change", day=TODAY), change)


def test_the_contract_is_the_quote_and_its_changes(lectern: Priced) -> None:
    found = contract_of(
        piece(lectern, changes=(ordered("100", "6", "5.07"), ordered("-40", "-2.40", "-2.03")))
    )
    assert found.net == lectern.chain.net + 60
    assert found.total == lectern.chain.total + 60 + Decimal("3.60")
    assert found.fees == lectern.chain.fee_total + Decimal("3.04")
    assert found.firm


def test_a_sale_is_worth_what_the_buyer_paid(lectern: Priced) -> None:
    """4,240 with 6 % tax in it are 4,000 net; fees are 2 % of net, 2.9 % of the total, and 3 x 0.30."""
    sale = Entry(kind="state", day=TODAY, said="sold", money=Decimal(4240))
    found = contract_of(piece(lectern, standing=Standing(deal="sold", entry=sale)))
    assert (found.net, found.tax, found.total) == (4000, 240, 4240)
    assert found.fees == Decimal("80.00") + Decimal("122.96") + Decimal("0.90")


def test_a_piece_that_came_back_keeps_what_was_kept_when_it_is_sold_again(lectern: Priced) -> None:
    """106 kept of the first buyer's money and 4,240 from the second: 4,100 net."""
    back = Entry(kind="state", day=TODAY, said="returned", money=Decimal(106))
    sale = Entry(kind="state", day=TODAY, said="sold", money=Decimal(4240))
    paid = Entry(kind="received", day=TODAY, money=lectern.chain.total)
    given = Entry(kind="refunded", day=TODAY, money=lectern.chain.total - 200)
    returned = in_hand(piece(lectern, (paid, back), Standing(deal="returned", entry=back)))
    assert (returned.owed, returned.held) == (0, lectern.chain.total - 106)
    found = in_hand(piece(lectern, (paid, given, back, sale), Standing(deal="sold", entry=sale)))
    assert (found.contract.net, found.contract.total) == (4100, 4346)
    assert found.owed == 4346 - 200


def test_a_change_agreed_after_a_sale_is_owed_and_one_before_it_is_in_its_price(lectern: Priced) -> None:
    sale = Entry(kind="state", day=TODAY, said="sold", money=Decimal(4240), id=5)
    early, late = ordered("50", "3", "2"), ordered("100", "6", "5.07")
    changes = (
        early._replace(entry=replace(early.entry, id=4)),
        late._replace(entry=replace(late.entry, id=6)),
    )
    found = contract_of(piece(lectern, standing=Standing(deal="sold", entry=sale), changes=changes))
    assert (found.net, found.total) == (4100, 4346)


def test_of_a_cancelled_order_stays_what_is_kept(lectern: Priced) -> None:
    kept = Entry(kind="state", day=TODAY, said="cancelled", money=Decimal(530))
    found = contract_of(piece(lectern, (kept,), Standing(deal="cancelled", entry=kept)))
    assert (found.net, found.total) == (500, 530)


@pytest.mark.parametrize(
    ("setting", "more"), [("hardwood.foot.quantity=3", True), ("hardwood.foot.quantity=1", False)]
)
def test_a_change_is_priced_at_the_quote_s_margin(lectern: Priced, setting: str, more: bool) -> None:
    """Cost difference / (1 - 25 % - 2 % - 2.9 % x 1.06), up to the next 5."""
    after = runs.price(JOBS / "lectern.toml", None, DAY, (setting,))
    found = change_price(lectern, after, LEAST)
    cost = after.chain.with_reserve - lectern.chain.with_reserve
    assert found.cost == cost
    assert (cost > 0) == more
    exact_price = cost / (1 - Decimal("0.25") - Decimal("0.02") - Decimal("0.029") * Decimal("1.06"))
    wanted = max(exact_price, LEAST) if more else exact_price
    assert 0 <= abs(found.net) - abs(wanted) < 5
    assert found.net % 5 == 0
    assert found.tax == found.net * Decimal("0.06")


def test_a_change_that_moves_little_is_charged_the_least(lectern: Priced) -> None:
    after = runs.price(JOBS / "lectern.toml", None, DAY, ("finish.oil.area=1.31 m2",))
    found = change_price(lectern, after, LEAST)
    assert 0 < found.cost < 5
    assert (found.net, found.ruled_by) == (50, "least charge")
    assert change_price(lectern, lectern, LEAST).net == 50


def test_a_change_and_its_opposite_cost_the_same(lectern: Priced) -> None:
    after = runs.price(JOBS / "lectern.toml", None, DAY, ("hardwood.foot.quantity=3",))
    there, back = change_price(lectern, after, LEAST), change_price(after, lectern, LEAST)
    assert (there.cost, there.net, there.tax) == (-back.cost, -back.net, -back.tax)
    assert there.net > LEAST


def test_a_rush_there_and_back_costs_nothing() -> None:
    settings = ("price.rush=true",)
    before = runs.price(JOBS / "lectern.toml", None, DAY, settings)
    after = runs.price(JOBS / "lectern.toml", None, DAY, (*settings, "hardwood.foot.quantity=4"))
    there, back = change_price(before, after, LEAST), change_price(after, before, LEAST)
    assert there.net + back.net == 0
    plain = runs.price(JOBS / "lectern.toml", None, DAY, ("hardwood.foot.quantity=4",))
    assert there.net > change_price(runs.price(JOBS / "lectern.toml", None, DAY), plain, LEAST).net


def test_a_longer_trip_is_taxed_as_the_shop_taxes_its_trips(lectern: Priced) -> None:
    """The sample shop does not tax deliveries: a change of distance changes goods and surcharge as a new quote would."""
    after = runs.price(JOBS / "lectern.toml", None, DAY, ("delivery.road_distance=80 mi",))
    found = change_price(lectern, after, LEAST)
    assert after.chain.surcharge > 0
    assert found.tax == (found.net - after.chain.surcharge) * Decimal("0.06")
    assert abs(found.total - (after.chain.total - lectern.chain.total)) <= 6  # a step of prices, and its tax


def test_a_price_that_shows_its_tax_keeps_it_in_a_change() -> None:
    """In a shop with tax in its prices the client sees whole steps; 23 % are in them."""
    stool = runs.price(JOBS.parents[1] / "tern_hollow_overseas" / "jobs" / "oak_stool.toml", None, DAY)
    assert stool.rules.included
    found = agreed_price(stool, Decimal(50), Decimal(100))
    assert found.total == 100
    assert found.net == (Decimal(100) / (1 + stool.rules.tax)).quantize(Decimal("0.01"))
