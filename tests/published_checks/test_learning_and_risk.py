"""Learning from one repeat to the next, and what draws of a range tell, against published tables."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from published_checks.helpers import line, named, rows

from quoting.pick import draws
from quoting.values import Uncertain

DRAWS = 200_000
ERRORS = 4  # standard errors allowed: a right engine fails once in 16,000 checks, and the seed is fixed


def repeats(each_h: float, learning: str, *counts: int) -> str:
    """A row of work for each count."""
    return "".join(
        f'[[work]]\ntask = "to {n}"\neach = "{each_h!r} h"\nquantity = {n}\nlearning = "{float(learning) * 100:g} %"\n'
        for n in counts
        if n
    )


def hours(data: dict, count: int) -> float:
    """Hours of the first `count` repeats."""
    return float(line(data, f"work.to-{count}.hours")["quantity"]) if count else 0.0


# Crawford's unit curve, n to the power log2(rate): operations-management tables (Table I.1-2 of a 12th edition
# Supplement I; solutions manuals ch. 13 and 7S), as named row by row in crawford.csv.
@pytest.mark.parametrize("rate", ["0.80", "0.85", "0.90"])
def test_unit_curve_table(price, rate):
    table = rows("crawford", rate=rate)
    data = price(repeats(1.0, rate, *(int(row["n"]) for row in table)))
    assert len(table) == 20
    for row in table:
        n = int(row["n"])
        total = hours(data, n)
        # half a unit of the last printed digit
        assert total == pytest.approx(float(row["cumulative"]), abs=5.01e-5)
        assert total / n == pytest.approx(float(row["cumulative_average"]), abs=5.01e-6)
        assert total - hours(data, n - 1) == pytest.approx(float(row["unit"]), abs=5.01e-5)


EXACT = [
    row
    for row in rows("learning_examples", model="crawford")
    if row["find"] in ("unit_hours", "total_hours") and "." not in row["to_unit"]
]


# Worked examples of the unit curve; sources in learning_examples.csv. Where hours of another unit are known,
# those of the first follow from them: T1 = T_m / m^b.
@pytest.mark.parametrize("row", EXACT, ids=named)
def test_worked_example_of_the_unit_curve(price, row):
    slope = math.log2(float(row["rate"]))
    first_h = float(row["known_hours"]) / int(row["known_unit"]) ** slope
    start, end = int(row["from_unit"]), int(row["to_unit"])
    data = price(repeats(first_h, row["rate"], start - 1, end))
    got = hours(data, end) - hours(data, start - 1)
    assert got == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


# The same table, told by the labour of the whole job.
def test_hours_with_learning_are_the_labour_of_the_job(price):
    (row,) = rows("crawford", rate="0.85", n="7")
    data = price(repeats(2.0, "0.85", 7))
    assert data["quantities"]["labour_hours"] == pytest.approx(2 * float(row["cumulative"]), abs=1.01e-4)


PERT = rows("three_point", distribution="beta-pert")


def density(row: dict[str, str], at: float) -> float:
    """Density of the beta-PERT of a row (parameters as published)."""
    low, high = float(row["low"]), float(row["high"])
    a, b = float(row["alpha"]), float(row["beta"])
    u = (at - low) / (high - low)
    logs = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + (a - 1) * math.log(u)
    return math.exp(logs + (b - 1) * math.log(1 - u)) / (high - low)


def quantile_error(row: dict[str, str], p: float, at: float, count: int) -> float:
    """Standard error of a sampled quantile: sqrt(p (1 - p) / n) / f(q) (published for N(0,1) and U(0,1))."""
    return math.sqrt(p * (1 - p) / count) / density(row, at)


# Beta-PERT with weight 4; source of the parameters and recomputed quantiles in three_point.csv.
@pytest.mark.parametrize("row", PERT, ids=named)
def test_draws_have_the_published_moments_and_quantiles(row):
    given = Uncertain(float(row["low"]), float(row["likely"]), float(row["high"]), "work.a.hours")
    drawn = np.asarray(draws(2027, DRAWS)(given))
    mean, variance = float(row["mean"]), float(row["variance"])
    assert drawn.shape == (DRAWS,)
    assert drawn.mean() == pytest.approx(mean, abs=ERRORS * math.sqrt(variance / DRAWS))
    a, b = float(row["alpha"]), float(row["beta"])
    excess = (
        6 * ((a - b) ** 2 * (a + b + 1) - a * b * (a + b + 2)) / (a * b * (a + b + 2) * (a + b + 3))
    )  # of a beta distribution (textbook formula, from memory)
    spread = variance * math.sqrt((excess + 2) / DRAWS)
    assert drawn.var() == pytest.approx(variance, abs=ERRORS * spread)
    for p, name in ((0.1, "p10"), (0.5, "p50"), (0.8, "p80"), (0.9, "p90")):
        at = float(row[name])
        near = ERRORS * quantile_error(row, p, at, DRAWS) + float(row["tolerance"])
        assert np.quantile(drawn, p) == pytest.approx(at, abs=near), name


# The classic mean (low + 4 likely + high) / 6 is that of the same beta-PERT.
@pytest.mark.parametrize("row", rows("three_point", distribution="classic"), ids=named)
def test_the_classic_mean_is_met(row):
    given = Uncertain(float(row["low"]), float(row["likely"]), float(row["high"]), "work.a.hours")
    drawn = np.asarray(draws(7, DRAWS)(given))
    assert drawn.mean() == pytest.approx(
        float(row["mean"]), abs=ERRORS * float(row["classic_sd"]) / DRAWS**0.5
    )


# A job of one range at pay 1 an hour: the reserve is what 8 in 10 builds need, less the plan.
@pytest.mark.parametrize("row", PERT, ids=named)
def test_the_reserve_is_the_published_eighth_in_ten(price, row):
    shop = f'[pay.owner]\nrate = 1\n[pricing]\nreserve = "P80"\n[risk]\nseed = 2027\ndraws = {DRAWS}\n'
    job = f'[[work]]\ntask = "make"\nhours = "{row["low"]} .. {row["likely"]} .. {row["high"]} h"\n'
    cost = price(job, shop)["cost"]
    assert float(cost["planned"]) == float(row["likely"])
    p80 = float(row["p80"])
    near = ERRORS * quantile_error(row, 0.8, p80, DRAWS) + float(row["tolerance"]) + 0.005  # a cent's half
    assert float(cost["reserve"]) == pytest.approx(p80 - float(row["likely"]), abs=near)
    assert float(cost["with_reserve"]) == pytest.approx(p80, abs=near)


# Chains of activities; sources in activity_chains.csv. Means add; the published variances are the classic ones
# (a sixth of the range), so only the mean of our beta-PERT can be held to them.
@pytest.mark.parametrize("row", rows("activity_chains"), ids=lambda row: row["chain"])
def test_the_mean_of_a_chain_is_the_sum_of_means(row):
    pick = draws(11, DRAWS)
    total = np.zeros(DRAWS)
    for number, triplet in enumerate(row["low_likely_high"].split(";")):
        low, likely, high = (float(value) for value in triplet.split("/"))
        total = total + pick(Uncertain(low, likely, high, f"work.step-{number}.hours"))
    near = ERRORS * float(np.std(total)) / DRAWS**0.5
    assert total.mean() == pytest.approx(float(row["mean"]), abs=near)


# The reserve of a sum is at most the sum of reserves (sum of P80s is at least P80 of the sum, GAO cost guide);
# with one cause for all, they move together and it is the sum again.
def test_reserves_of_parts_do_not_add(price):
    shop = f'[pay.owner]\nrate = 100\n[pricing]\nreserve = "P80"\n[risk]\nseed = 5\ndraws = {DRAWS}\n'

    def rows_of(count: int) -> str:
        return "".join(f'[[work]]\ntask = "step {i}"\nhours = "5 .. 8 .. 14 h"\n' for i in range(count))

    one, nine = (float(price(rows_of(n), shop)["cost"]["reserve"]) for n in (1, 9))
    assert nine < 9 * one
    # mean 8.5 and variance 2.75 (published): nine independent steps are near normal, z(0.8) = 0.8416
    assert nine == pytest.approx(100 * (9 * 0.5 + 0.8416 * math.sqrt(9 * 2.75)), rel=0.01)


def test_a_higher_rate_of_learning_costs_more(price):
    totals = [hours(price(repeats(1.0, rate, 20)), 20) for rate in ("0.80", "0.85", "0.90")]
    assert all(less < more for less, more in pairwise(totals))


# Wright's cumulative-average tables (operations-management textbooks; recomputed): the average of two is r times the
# first, so the total of two is 2 r; Crawford's is 1 + r. The tool's curve is Crawford's: its total of two is one and
# half of Wright's, and from there on it lies above Wright's at every published count.
@pytest.mark.parametrize("row", rows("wright"), ids=named)
def test_the_curve_is_crawfords_and_not_wrights(price, row):
    count, total = int(row["n"]), float(row["total"])
    data = price(repeats(1.0, row["rate"], count))
    if count == 2:
        assert hours(data, 2) == pytest.approx(1 + total / 2, abs=1e-4)
    assert hours(data, count) > total * 1.05
