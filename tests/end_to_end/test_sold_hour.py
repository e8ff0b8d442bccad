"""What a sold hour must bring is what an hour more puts on a price, through the real commands."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from end_to_end.command import edited, parsed, price_of, quoting_run

HOURS = 100
CENTS = 0.02
"""An hour of so many, whose price is rounded up by a cent and whose lines are to the cent each."""


def sold(shop: Path) -> dict[str, float]:
    found: dict[str, float] = parsed(quoting_run("rates", shop, "--json").stdout)["sold_hour"]
    return found


def hour_more(bench: Path) -> float:
    """What an hour puts on the price before tax: from so many hours of handwork and twice as many."""
    text = bench.read_text("utf-8")
    prices = []
    for hours in (HOURS, 2 * HOURS):
        bench.write_text(f'{text}\n[[work]]\ntask = "carving"\nhours = "{hours} h"\n', "utf-8")
        more = ("--set", "pricing.round_to=0.01", "--set", "pace.factor=1")
        prices.append(Decimal(price_of(bench, *more)["price"]["net"]))
    bench.write_text(text, "utf-8")
    return float(prices[1] - prices[0]) / HOURS


@pytest.mark.parametrize("change", ["", "margin", "fees"])
def test_an_hour_more_brings_what_rates_say(change: str, shop: Path, bench: Path) -> None:
    if change == "margin":
        edited(shop / "shop.toml", 'margin = "25 %"', 'margin = "40 %"')
    if change == "fees":
        edited(shop / "shop.toml", 'share = "2.9 %"', 'share = "12 %"')
    found = sold(shop)
    assert found["total"] == pytest.approx(hour_more(bench), abs=CENTS)
    parts = ("pay", "overhead", "sundries", "reserve", "fees", "margin")
    assert sum(found[name] for name in parts) == pytest.approx(found["total"], abs=1e-9)


def test_a_drawn_reserve_stands_beside_it(shop: Path) -> None:
    """It is no share of an hour: the answer says that it comes on top."""
    edited(shop / "shop.toml", '#reserve = "10 %"', 'reserve = "P80"')
    assert sold(shop)["reserve"] is None
    assert "it comes on top" in quoting_run("rates", shop).stdout
