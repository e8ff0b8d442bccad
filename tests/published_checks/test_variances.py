"""Variances against textbook examples, by the equation and through the review of a real piece."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest
from logbook.logs import entries, piece
from published_checks.helpers import rows, written
from sharing import DAY

from quoting import runs
from quoting.costing.rates import overhead_rate
from quoting.forecast.build import build_of
from quoting.job.load import load
from quoting.ledger.states import Standing
from quoting.review.bridge import two_way
from quoting.review.pieces import overhead
from quoting.review.statement import statement

if TYPE_CHECKING:
    from pathlib import Path

    from quoting.review.bridge import TwoWay
    from quoting.review.statement import Statement


def number(text: str) -> float:
    return float(Fraction(text))


def variance(
    *, actual_quantity: float, actual_price: float, standard_quantity: float, standard_price: float
) -> TwoWay[float]:
    """The two parts from quantities and prices, as textbooks give them."""
    return two_way(
        actual=actual_quantity * actual_price, at_standard_price=actual_quantity * standard_price,
        standard=standard_quantity * standard_price,
    )  # fmt: skip


@pytest.mark.parametrize("row", rows("variances"), ids=lambda row: row["check"])
def test_price_and_quantity_variances_of_textbooks(row: dict[str, str]) -> None:
    given = ("actual_quantity", "actual_price", "standard_quantity", "standard_price")
    found = variance(**{name: number(row[name]) for name in given})
    assert found.price == pytest.approx(float(row["price"]), abs=1e-6)
    assert found.quantity == pytest.approx(float(row["quantity"]), abs=1e-6)
    spent = number(row["actual_quantity"]) * number(row["actual_price"])
    assert found.price + found.quantity == pytest.approx(
        spent - number(row["standard_quantity"]) * number(row["standard_price"])
    )


def test_mix_variances_of_textbooks() -> None:
    """A mix variance is the quantity variance against the standard share of all that was used. Sums as printed: V11 30 F,
    V12 9,200 U, V13 500 F.
    """
    sums: dict[str, float] = defaultdict(float)
    table = rows("mix_and_yield")
    for row in table:
        whole = sum(float(one["actual"]) for one in table if one["check"] == row["check"])
        price = float(row["standard_price"])
        found = variance(
            actual_quantity=float(row["actual"]), actual_price=price,
            standard_quantity=number(row["share"]) * whole, standard_price=price,
        )  # fmt: skip
        assert found.quantity == pytest.approx(float(row["mix"]))
        assert found.price == 0
        sums[row["check"]] += found.quantity
    assert sums == pytest.approx({"V11": -30, "V12": 9200, "V13": -500})


@pytest.mark.parametrize(
    ("check", "per_output", "output", "usage"),
    [  # input of each kind for one unit of output, the output, usage = mix + yield
        (
            "V11",
            {"A": Fraction("0.6") / Fraction("0.9"), "B": Fraction("0.4") / Fraction("0.9")},
            940,
            -30 + 5 * 6.8 / 0.9,
        ),
        ("V12", {"A": Fraction("0.5"), "B": Fraction("0.4"), "C": Fraction("0.2")}, 23180, 9200 + 7216),
        ("V13", {"A": Fraction(8, 19), "B": Fraction(12, 19)}, 1850, -500 + 50 * 460 / 19),
    ],
)
def test_usage_is_mix_and_yield(
    check: str, per_output: dict[str, Fraction], output: int, usage: float
) -> None:
    """The usage variance of all inputs together is what the sources print as mix and yield: V11 7.78 U, V12 16,416 U."""
    found = 0.0
    for row in rows("mix_and_yield", check=check):
        price = float(row["standard_price"])
        found += variance(
            actual_quantity=float(row["actual"]), actual_price=price,
            standard_quantity=float(per_output[row["input"]] * output), standard_price=price,
        ).quantity  # fmt: skip
    assert found == pytest.approx(usage)


def test_sales_of_two_products_are_price_and_volume() -> None:
    """V15, open university course text p. 174 (read): price 200 F, volume 4,300 F. For sales, above zero is favourable."""
    found = [
        variance(
            **{
                name: number(row[name])
                for name in ("actual_quantity", "actual_price", "standard_quantity", "standard_price")
            }
        )
        for row in rows("variances")
        if row["check"].startswith("V15")
    ]
    assert sum(one.price for one in found) == 200
    assert sum(one.quantity for one in found) == 4300


def test_fixed_overhead_of_textbooks() -> None:
    """V9, an open textbook's extract (read): 72,000 budgeted at 6 an hour, 70,000 spent, 10,200 standard hours: spending
    2,000 F, volume 10,800 U, net 8,800 U. V10: 83,000 against 80,000 is 3,000 U.
    """
    found = overhead(spent=70_000, budget=72_000, absorbed=10_200 * 6)
    assert (found.spending, found.volume, found.under_absorbed) == (-2000, 10_800, 8800)
    assert overhead(spent=83_000, budget=80_000, absorbed=80_000).spending == 3000


def test_the_rate_of_a_flexible_budget() -> None:
    """V8, OpenStax, Principles of Accounting 2, ch. 8 (read): 5.33, 5.00 and 4.73 an hour at 90, 100 and 110 %."""
    for hours, variable, printed in ((1800, 3600, 5.33), (2000, 4000, 5.00), (2200, 4400, 4.73)):
        rate = overhead_rate({"variable": variable, "fixed": 6000, "sold_hours": hours}).per_hour
        assert round(rate, 2) == printed


def reviewed(tmp_path: Path, job: str, shop: str, *sayings: dict[str, Any]) -> Statement:
    """The review of a piece whose whole log is these sayings."""
    path = written(tmp_path, job, shop)
    plan = runs.price(path, None, DAY)
    made = piece(plan, entries(plan, *sayings), Standing("agreed", plan.day, built=True, delivered=True))
    return statement(build_of(made, load(path)))


def test_a_textbook_material_in_the_review_of_a_piece(tmp_path: Path) -> None:
    """V2, OpenStax (read): 88,000 oz planned at 0.85, 89,000 bought and used for 74,760: price 890 F, usage 850 U."""
    found = reviewed(
        tmp_path,
        '[[buy]]\nitem = "base"\nquantity = 88000\nprice = 0.85\n',
        "",
        {"kind": "paid", "value": "74760", "of": "base", "quantity": "89000"},
        {"kind": "used", "value": "89000", "of": "base"},
    )
    [line] = [one for one in found.lines if one.line.item == "base"]
    assert {kind: float(amount) for kind, amount in line.parts.items()} == {"usage": 850, "price": -890}
    assert float(found.way.steps["usage"]) == -850
    assert float(found.way.steps["prices_paid"]) == 890


def test_textbook_labour_in_the_review_of_a_piece(tmp_path: Path) -> None:
    """V4, OpenStax (read): 16,500 h planned at 35, 16,000 h at 35.35: rate 5,600 U, time 17,500 F."""
    found = reviewed(
        tmp_path,
        '[[work]]\ntask = "filling"\nhours = "16500 h"\n',
        "[pay.owner]\nrate = 35\n[pay.helper]\nrate = 35.35\n",
        {"kind": "hours", "value": "16000 h", "task": "filling", "who": "helper", "about": True},
    )
    assert float(found.way.steps["hours"]) == 17_500
    assert float(found.way.steps["pay_rate"]) == -5600
