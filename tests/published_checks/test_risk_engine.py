"""What draws say, held against what is known exactly: quantiles and their errors, shares, sums, one cause for several."""

from __future__ import annotations

import json
import math
from statistics import NormalDist

import numpy as np
import pytest
from published_checks.helpers import named, rows, written

from quoting.__main__ import run
from quoting.job.load import load
from quoting.pick import draws
from quoting.risk.drawn import drawn, first_order, order_interval, quantiles
from quoting.values import Uncertain

DRAWS = 100_000


def risk_json(tmp_path, capsys, job: str, *more: str, shop: str = "") -> dict:
    """What `quoting risk job.toml --json` prints."""
    path = written(tmp_path, job, shop)
    assert run(["risk", str(path), "--json", *more]) == 0, capsys.readouterr().err
    return dict(json.loads(capsys.readouterr().out))


def things(*prices: str) -> str:
    return "\n".join(
        f'[[buy]]\nitem = "thing {i}"\nquantity = 1\nprice = "{p}"\n' for i, p in enumerate(prices)
    )


# Order numbers of the 95 % interval of a quantile; sources in quantile_intervals.csv.
@pytest.mark.parametrize("row", rows("quantile_intervals"), ids=named)
def test_order_numbers_of_a_quantile(row):
    assert order_interval(int(row["n"]), float(row["level"])) == (int(row["first"]), int(row["last"]))


# Standard error of a quantile, sqrt(p (1 - p) / n) / f(q); sources in quantile_errors.csv. On evenly spread draws the
# order interval differs from it only by the steps of whole order numbers: 1 in 600 here.
@pytest.mark.parametrize("row", rows("quantile_errors"), ids=named)
def test_standard_error_of_a_quantile(row):
    evenly = (np.arange(DRAWS) + 0.5) / DRAWS
    if row["distribution"] == "normal":
        evenly = np.array([NormalDist().inv_cdf(float(p)) for p in evenly])
    (found,) = quantiles(evenly, (float(row["level"]),))
    variance = found.error**2 * DRAWS / int(row["n"])
    assert variance == pytest.approx(float(row["variance"]), rel=0.01)


# First-order Sobol indices of the Ishigami function; sources in ishigami.csv. Near: four standard errors of 200,000
# draws, and half a hundredth for the width of the groups.
@pytest.mark.parametrize("row", rows("ishigami"), ids=named)
def test_first_order_indices_of_the_ishigami_function(row):
    x = np.random.default_rng(3).uniform(-math.pi, math.pi, (3, 200_000))
    y = np.sin(x[0]) + float(row["a"]) * np.sin(x[1]) ** 2 + float(row["b"]) * x[2] ** 4 * np.sin(x[0])
    assert y.mean() == pytest.approx(float(row["mean"]), abs=4 * y.std() / math.sqrt(len(y)))
    assert y.var() == pytest.approx(float(row["variance"]), rel=0.02)
    for one, name in zip(x, ("s1", "s2", "s3"), strict=True):
        assert first_order(one, y) == pytest.approx(float(row[name]), abs=0.005)


# Shares of an additive model; source in sum_of_three.csv.
def test_shares_of_an_additive_model():
    (row,) = rows("sum_of_three", case="additive")
    sds = [float(sd) for sd in row["sds"].split(";")]
    x = [np.random.default_rng(i).normal(0, sd, 100_000) for i, sd in enumerate(sds)]
    for one, share in zip(x, row["shares"].split(";"), strict=True):
        assert first_order(one, sum(x)) == pytest.approx(float(share), abs=0.006)


# A coin of chance p that moves a result by c among noise of variance v: its share is c^2 p (1 - p) / (c^2 p (1 - p) + v).
def test_share_of_a_coin():
    stream = np.random.default_rng(5)
    coin = (stream.random(100_000) < 0.15).astype(float)
    noise = stream.normal(0, 10, 100_000)
    exact = 900 * 0.15 * 0.85 / (900 * 0.15 * 0.85 + 100)
    assert first_order(coin, 30 * coin + noise) == pytest.approx(exact, abs=0.008)
    assert first_order(np.full(100_000, 2.0), noise) == 0.0
    assert first_order(stream.random(100_000), noise) == pytest.approx(0.0, abs=0.002)


# Quantiles of beta-PERT through the command; sources in three_point.csv. Near: four standard errors, as it says itself.
@pytest.mark.parametrize("row", rows("three_point", distribution="beta-pert"), ids=named)
def test_bands_of_one_thing(tmp_path, capsys, row):
    price = f"{row['low']} .. {row['likely']} .. {row['high']}"
    data = risk_json(tmp_path, capsys, things(price), "--draws", "100000")
    for one, name in zip(data["cost"], ("p10", "p50", "p80", "p90"), strict=True):
        assert one["value"] == pytest.approx(float(row[name]), abs=4 * one["error"])
        assert one["error"] < float(row["high"]) / 500
    (driver,) = data["drivers"]
    assert (driver["at_low"], driver["at_high"]) == (float(row["low"]), float(row["high"]))
    assert driver["share"] == pytest.approx(1.0, abs=0.002)


# Triangular closed forms: u <= (m - a) / (b - a) gives a + sqrt(u (b - a) (m - a)), else b - sqrt((1 - u) (b - a) (b - m));
# the engine draws beta-PERT, so these hold how it reads quantiles and moments off draws. Sources in three_point.csv.
@pytest.mark.parametrize("row", rows("three_point", distribution="triangular"), ids=named)
def test_quantiles_and_moments_of_triangular_draws(row):
    a, m, b = (float(row[name]) for name in ("low", "likely", "high"))
    u = (np.arange(DRAWS) + 0.5) / DRAWS
    turn = (m - a) / (b - a)
    evenly = np.where(u <= turn, a + np.sqrt(u * (b - a) * (m - a)), b - np.sqrt((1 - u) * (b - a) * (b - m)))
    for one, name in zip(quantiles(evenly), ("p10", "p50", "p80", "p90"), strict=True):
        between = (b - a) / DRAWS  # a quantile lies between two of the draws
        assert one.value == pytest.approx(float(row[name]), abs=float(row["tolerance"]) + between)
    assert evenly.mean() == pytest.approx(float(row["mean"]), abs=1e-4)
    assert evenly.var() == pytest.approx(float(row["variance"]), rel=1e-4)


# Hours of a chain of activities: the mean is the sum of the published PERT means; the variance that of beta-PERT,
# (mean - a) (b - mean) / 7 each. Sources in activity_chains.csv. Near: four standard errors.
@pytest.mark.parametrize("row", rows("activity_chains"), ids=named)
def test_the_sum_of_a_chain(tmp_path, row):
    spans = [tuple(map(float, one.split("/"))) for one in row["low_likely_high"].split(";")]
    tasks = "".join(
        f'[[work]]\ntask = "activity {i}"\nhours = "{a} .. {m} .. {b} h"\n'
        for i, (a, m, b) in enumerate(spans)
    )
    run_of = drawn(load(written(tmp_path, tasks)), 11, DRAWS)
    means = [(a + 4 * m + b) / 6 for a, m, b in spans]
    variance = sum((mean - a) * (b - mean) / 7 for mean, (a, _, b) in zip(means, spans, strict=True))
    near = 4 * math.sqrt(variance / DRAWS)
    assert run_of.labour_h.mean() == pytest.approx(float(row["mean"]), abs=near + float(row["tolerance"]))
    assert run_of.labour_h.var() == pytest.approx(variance, rel=4 * math.sqrt(2 / DRAWS))


# Shares of three things bought are their published beta-PERT variances over the sum (three_point.csv): additive.
def test_shares_of_three_things(tmp_path, capsys):
    pert = rows("three_point", distribution="beta-pert")
    job = things(*(f"{row['low']} .. {row['likely']} .. {row['high']}" for row in pert))
    data = risk_json(tmp_path, capsys, job, "--draws", "100000")
    whole = sum(float(row["variance"]) for row in pert)
    shares = {one["name"]: one["share"] for one in data["drivers"]}
    for i, row in enumerate(pert):
        assert shares[f"buy.thing-{i}.price"] == pytest.approx(float(row["variance"]) / whole, abs=0.01)
    swings = [one["at_high"] - one["at_low"] for one in data["drivers"]]
    assert swings == pytest.approx([60, 10, 9])


# Sum of three by correlation; sources in sum_of_three.csv. A common factor makes it: x_i = s_i (r_i f + sqrt(1 - r_i^2) e_i)
# has correlations r_i r_j; no job can be written so (bounds are finite), so the formula itself is held here.
@pytest.mark.parametrize("case", ["independent", "correlated"])
def test_sum_of_three(case):
    (row,) = rows("sum_of_three", case=case)
    sds = [float(sd) for sd in row["sds"].split(";")]
    rho = {(0, 1): float(row["rho12"]), (0, 2): float(row["rho13"]), (1, 2): float(row["rho23"])}
    variance = sum(sd**2 for sd in sds) + 2 * sum(r * sds[i] * sds[j] for (i, j), r in rho.items())
    assert math.sqrt(variance) == pytest.approx(float(row["sd"]), abs=1e-5)


# Inputs of one cause, x_i = a_i f: var = sum var + 2 sum cov with var(a f) = E(a^2) E(f^2) - (E a E f)^2 and
# cov(a f, b f) = E a E b var f, exact for independent a, b, f (derived; beta-PERT moments as in three_point.csv).
def test_inputs_of_one_cause_move_together():
    cause = Uncertain(0.8, 1.0, 1.6, "cause.grain")
    given = [Uncertain(5, 8, 14, "a", cause=cause), Uncertain(10, 12.5, 20, "b", cause=cause)]
    pick = draws(7, 200_000)
    total = pick(given[0]) + pick(given[1])

    def moments(one: Uncertain) -> tuple[float, float]:
        mean = (one.low + 4 * one.likely + one.high) / 6
        return mean, (mean - one.low) * (one.high - mean) / 7

    (a, var_a), (b, var_b), (f, var_f) = (moments(one) for one in (*given, cause))
    together = (var_a + a**2 + var_b + b**2) * (var_f + f**2) - (a**2 + b**2) * f**2 + 2 * a * b * var_f
    assert total.mean() == pytest.approx((a + b) * f, rel=0.002)
    assert total.var() == pytest.approx(together, rel=0.02)
    apart = together - 2 * a * b * var_f
    assert apart / together < 0.75  # drawn apart it would look a quarter surer than it is


TASKS = "\n".join(f'[[work]]\ntask = "task {i}"\nhours = "5 h"\n' for i in range(6))


# Six tasks that share one pace: their hours are 30 times one factor, so are its quantiles
# (derived); drawn apart, six alike spread by the square root of six less.
def test_the_pace_is_drawn_once_a_job(tmp_path, capsys):
    shop = '[pay.owner]\nrate = 1\n[pace]\nfactor = "0.9 .. 1 .. 1.25"\n'
    data = risk_json(tmp_path, capsys, TASKS, "--draws", "100000", shop=shop)
    factor = draws(data["seed"], 100_000)(Uncertain(0.9, 1.0, 1.25, "pace.factor"))
    for one in data["labour_hours"]:
        assert one["value"] == pytest.approx(30 * np.quantile(factor, one["level"]), rel=1e-12)
    apart = TASKS.replace('"5 h"', '"4.5 .. 5 .. 6.25 h"')
    other = risk_json(tmp_path, capsys, apart, "--draws", "100000", shop="[pay.owner]\nrate = 1\n")
    spread = [one["cost"][3]["value"] - one["cost"][0]["value"] for one in (data, other)]
    assert spread[0] / spread[1] == pytest.approx(math.sqrt(6), rel=0.03)  # but for the shape of the sum


# Common practice, no source: P80 is a cost that 8 in 10 builds stay below, not the plan plus a fifth; the sum of several
# P80s is above the P80 of the sum (GAO-20-195G as its web page tells it).
def test_eight_in_ten_builds_cost_less(tmp_path, capsys):
    job = things("5 .. 8 .. 14", "10 .. 12.5 .. 20", "40 .. 55 .. 100")
    data = risk_json(tmp_path, capsys, job)
    run_of = drawn(load(tmp_path / "job.toml"), data["seed"], data["draws"])
    assert np.mean(run_of.cost <= data["cost"][2]["value"]) == pytest.approx(0.8, abs=0.001)
    single = [np.quantile(run_of.streams[f"buy.thing-{i}.price"], 0.8) for i in range(3)]
    assert sum(single) > data["cost"][2]["value"]
