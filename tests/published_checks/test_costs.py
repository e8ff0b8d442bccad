"""Cost sheets, overhead and machine rates, and machine time, against worked textbook examples."""

from __future__ import annotations

import math

import pytest
from published_checks.helpers import bought, example, line, rows

# "Principles of Accounting, Vol. 2: Managerial Accounting" (OpenStax, 2019) is OSA2 below.
LABOUR_DOLLARS = """
[pay.owner]
rate = 1
[overhead]
year = 250000
sold_hours = 100000
"""
"""Overhead over labour dollars: at pay 1 an hour an hour is a dollar (OSA2: 250,000 / 100,000 = 2.50)."""


def labour(*hours: object, who: str = "owner") -> str:
    return "".join(
        f'[[work]]\ntask = "{who} {i}"\nwho = "{who}"\nhours = "{h} h"\n' for i, h in enumerate(hours)
    )


def outcome(topic: str, name: str) -> dict[str, float]:
    return {item: value for item, (value, _) in example(topic, name)[1].items()}


# OSA2, job cost sheet (its picture misprints the rate as 1.50); sold for 2,000.
def test_a_job_cost_sheet(price):
    given, _ = example("job_cost", "job cost sheet")
    wanted = outcome("job_cost", "job cost sheet")
    job = bought(*given["direct_material_lines"].split(";")) + labour(
        *given["direct_labour_lines"].split(";")
    )
    margin = wanted["profit"] / float(given["price"])
    data = price(job, LABOUR_DOLLARS + f'[pricing]\nmargin = "{margin * 100!r} %"\n')
    cost = data["cost"]
    assert (
        line(data, "overhead.job.hours")["rate"]
        == outcome("job_cost", "predetermined overhead rate")["overhead_rate"]
    )
    assert [float(cost[name]) for name in ("buy", "labour", "overhead", "planned")] == [
        wanted[name] for name in ("direct_material", "direct_labour", "overhead", "job_cost")
    ]
    assert data["price"]["goods"] == "2000.00"
    assert float(data["price"]["net"]) - float(cost["with_reserve"]) == wanted["profit"]


# OSA2, three jobs in a month, 2,681 added, 2,656 made: the opening work in progress is a thing bought.
def test_jobs_of_a_month(price):
    sums = dict.fromkeys(("buy", "labour", "overhead", "planned"), 0.0)
    opening = 0.0
    for name in ("month, job POR143", "month, job MAC001", "month, job TRJ441"):
        given, _ = example("job_cost", name)
        wanted = outcome("job_cost", name)
        opening += float(given["opening"])
        job = bought(given["opening"], given["direct_material"]) + labour(given["direct_labour"])
        cost = price(job, LABOUR_DOLLARS)["cost"]
        assert float(cost["overhead"]) == wanted["overhead"]
        assert float(cost["planned"]) == wanted["job_cost"]
        for part in sums:
            sums[part] += float(cost[part])
    given, _ = example("job_cost", "month, totals")
    wanted = outcome("job_cost", "month, totals")
    assert opening == float(given["opening_work"])
    assert sums["buy"] - opening == wanted["direct_material"]
    assert sums["labour"] == wanted["direct_labour"]
    assert sums["overhead"] == wanted["overhead"]
    assert sums["planned"] - opening == wanted["added"]
    assert sums["planned"] - float(given["closing_work"]) == wanted["cost_of_goods_made"]


# OSA2, exercise data, answers derived: the base of the overhead matters. Over labour hours it is the overhead of
# the shop; over machine hours it is what the machine's hour carries.
def test_overhead_over_labour_hours(price):
    given, _ = example("job_cost", "base: labour hours")
    wanted = outcome("job_cost", "base: labour hours")
    shop = f"[pay.owner]\nrate = {given['labour_rate']}\n[overhead]\nyear = {given['budgeted_overhead']}\nsold_hours = {given['budgeted_base']}\n"
    data = price(bought(given["direct_material"]) + labour(given["labour_hours"]), shop)
    assert line(data, "overhead.job.hours")["rate"] == wanted["overhead_rate"]
    assert float(data["cost"]["overhead"]) == wanted["overhead"]
    assert float(data["cost"]["planned"]) == wanted["job_cost"]


def test_overhead_over_machine_hours(price):
    given, _ = example("job_cost", "base: machine hours")
    wanted = outcome("job_cost", "base: machine hours")
    shop = f"""
[pay.owner]
rate = {given["labour_rate"]}
[machine.mill]
price = 0.000001
life_hours = 1000000000000
upkeep_per_year = {given["budgeted_overhead"]}
hours_per_year = {given["budgeted_base"]}
attended = "0 %"
"""
    run = f'[[machine]]\ntask = "run"\nmachine = "mill"\nhours = "{given["base_hours"]} h"\n'
    data = price(bought(given["direct_material"]) + labour(given["labour_hours"]) + run, shop)
    assert line(data, "machine.run.machine")["rate"] == pytest.approx(wanted["overhead_rate"], rel=1e-12)
    assert float(data["cost"]["machine"]) == wanted["overhead"]
    assert float(data["cost"]["planned"]) == wanted["job_cost"]


# OSA2, service job: cost 192, billed 310 (70 + 3 x 80), 38.06 % margin, 61.46 % markup.
def test_a_service_job(price):
    given, results = example("job_cost", "service job")
    wanted = outcome("job_cost", "service job")
    shop = f"[pay.owner]\nrate = {given['labour_rate']}\n[overhead]\nyear = 25000\nsold_hours = 1000\n"
    billed = float(given["part_price"]) + float(given["labour_hours"]) * float(given["charged_rate"])
    data = price(
        bought(given["part_cost"]) + labour(given["labour_hours"]),
        shop + f"[pricing]\nleast_price = {billed}\n",
    )
    assert data["cost"]["overhead"] == data["cost"]["labour"]  # 100 % of direct labour
    assert float(data["cost"]["planned"]) == wanted["job_cost"]
    assert float(data["price"]["net"]) == wanted["billed"] == billed
    assert data["price"]["ruled_by"] == "least price"
    assert data["price"]["margin"] == pytest.approx(wanted["margin"], abs=results["margin"][1])
    assert data["price"]["markup"] == pytest.approx(wanted["markup"], abs=results["markup"][1])


# OSA2, standard cost card: 4 lb, two kinds of labour, and overhead of 5 and 3 an hour over 6.75 h.
def test_a_standard_cost_card(price):
    given, results = example("job_cost", "standard cost card")
    quantities, prices = (given[name].split(";") for name in ("quantities", "prices"))
    (listed,) = [row["value"] for row in rows("job_cost", item="line_costs")]
    amounts = [float(value) for value in listed.split(";")]
    shop = f"""
[pay.owner]
rate = {prices[2]}
[pay.helper]
rate = {prices[1]}
[overhead]
variable = {float(prices[3]) * 1000}
fixed = {float(prices[4]) * 1000}
sold_hours = 1000
"""
    job = f'[[buy]]\nitem = "material"\nquantity = "{quantities[0]} lb"\n'
    job += labour(quantities[1], who="helper") + labour(quantities[2])
    data = price(job, shop, f"material,lb,{prices[0]}")
    names = ("buy.material.item", "work.helper-0.hours", "work.owner-0.hours")
    assert [float(line(data, name)["amount"]) for name in names] == amounts[:3]
    assert float(data["cost"]["overhead"]) == amounts[3] + amounts[4]
    assert float(data["cost"]["planned"]) == results["unit_cost"][0]


# The same first line of the card with its price in the job: 4 lb at 5.25 a pound are 21.00, as its basis says.
def test_a_price_in_the_job_is_for_the_unit_that_is_written(price):
    data = price('[[buy]]\nitem = "material"\nquantity = "4 lb"\nprice = 5.25\n')
    assert line(data, "buy.material.item")["basis"] == "4 lb x 5.25 for one lb"
    assert data["cost"]["buy"] == "21.00"


# A general page on shop rates (weak source): (60,000 + 20,000) / 1,500 h; at a margin of 20 % 66.67.
def test_a_shop_rate(price):
    given, results = example("job_cost", "shop rate")
    shop = f"""
[pay.maker]
earn_a_year = {given["owner_salary"]}
sold_hours = {given["billable_hours"]}
[overhead]
year = {given["annual_overhead"]}
sold_hours = {given["billable_hours"]}
[pricing]
margin = "{float(given["margin"]) * 100:g} %"
"""
    data = price(labour(1, who="maker"), shop)
    assert float(data["cost"]["planned"]) == pytest.approx(
        results["rate_at_cost"][0], abs=results["rate_at_cost"][1]
    )
    assert float(data["price"]["goods"]) == pytest.approx(
        results["rate_at_margin"][0], abs=results["rate_at_margin"][1]
    )


def attended_by_none(name: str = "mill") -> str:
    return f'[[machine]]\ntask = "run"\nmachine = "{name}"\nhours = "1 h"\nattended = "0 %"\n'


# Machine-hour rates; sources in machine_rate.csv (school-board examination; worked examination answer).
def test_a_simple_machine_rate(price):
    given, results = example("machine_rate", "simple")
    yearly = float(given["repairs"]) + float(given["standing"])
    shop = f"""
[machine.mill]
price = {given["cost"]}
resale = {given["scrap"]}
life_hours = {given["life_hours"]}
upkeep_per_year = {yearly}
hours_per_year = {given["period_hours"]}
power = "{given["power_units_per_hour"]} kW"
tariff = "{given["power_price"]} /kWh"
"""
    data = price(attended_by_none(), shop)
    assert data["cost"]["machine"] == f"{results['rate'][0]:.2f}"
    parts = ("depreciation", "repairs_rate", "standing_rate", "power_rate")
    assert sum(results[name][0] for name in parts) == pytest.approx(results["rate"][0], rel=1e-12)


def test_a_full_machine_rate(price):
    given, results = example("machine_rate", "full")
    hours = float(given["hours_a_year"])
    yearly = sum(
        float(given[name]) for name in ("repairs", "water", "operator", "supervisor", "insurance", "rent")
    )
    shop = f"""
[machine.mill]
price = {float(given["cost"]) + float(given["installing"])}
resale = {given["scrap"]}
life_hours = {float(given["life_years"]) * hours}
upkeep_per_year = {yearly}
hours_per_year = {hours}
power = "4 kW"
tariff = "0.30 /kWh"
"""
    data = price(attended_by_none(), shop)
    rate, near = results["rate"]
    assert line(data, "machine.run.machine")["rate"] == pytest.approx(rate, abs=near)
    assert rate * hours == pytest.approx(results["yearly_total"][0], abs=near * hours)
    assert data["cost"]["machine"] == "7.33"  # as printed


def test_a_sum_of_rates_that_was_misprinted(price):
    given, results = example("machine_rate", "sum of rates")
    wear, repairs, standing, power = given["rates"].split(";")
    shop = f"""
[machine.mill]
price = {float(wear) * 1000}
life_hours = 1000
upkeep_per_year = {(float(repairs) + float(standing)) * 100}
hours_per_year = 100
power = "1 kW"
tariff = "{power} /kWh"
"""
    assert price(attended_by_none(), shop)["cost"]["machine"] == f"{results['rate'][0]:.2f}"  # not 4.95


MILL = "[machine.mill]\nrate = 60\n"


def surface(
    length_mm: float, width_mm: float, stepover_mm: float, feed_mm_min: float, passes: int = 1
) -> str:
    area_mm2 = length_mm * width_mm
    return f"""
[[machine]]
task = "surface"
machine = "mill"
area = "{area_mm2 / 1e6!r} m2"
stepover = "{stepover_mm!r} mm"
feed = "{feed_mm_min!r} mm/min"
passes = {passes}
attended = "0 %"
"""


# D: area over stepover times feed, 6 minutes; links and lifts come on top.
@pytest.mark.parametrize("passes", [1, 2])
def test_time_to_flatten_a_top(price, passes):
    given, results = example("surfacing", "flattening a top")
    sizes = [float(given[f"{name}_mm"]) for name in ("length", "width", "stepover")]
    data = price(surface(*sizes, float(given["feed_mm_min"]), passes), MILL)
    minutes = results["minutes_by_area"][0] * passes
    assert data["quantities"]["machine_hours"] * 60 == pytest.approx(minutes, rel=1e-12)
    assert data["cost"]["machine"] == f"{minutes:.2f}"  # 60 an hour is 1 a minute
    strips = math.ceil(sizes[1] / sizes[2])
    assert strips == results["passes"][0]
    assert strips * sizes[0] / float(given["feed_mm_min"]) == results["cutting_minutes"][0]


# Milling problems of textbooks (answers recomputed): one strip as wide as the cutter, as long as part and approach.
@pytest.mark.parametrize(
    ("name", "approach_mm"),
    [
        ("minutes_cut_only", 0.0),
        ("minutes_with_slab_approach", math.sqrt(5 * (75 - 5))),
        ("minutes_with_half_cutter_each_end", 75.0),
    ],
)
def test_time_of_a_milled_face(price, name, approach_mm):
    given, results = example("surfacing", "face of 275 by 75")
    cutter = float(given["cutter_mm"])
    turns = 1000 * float(given["speed_m_min"]) / (math.pi * cutter)
    feed = turns * float(given["teeth"]) * float(given["feed_mm_tooth"])
    assert feed == pytest.approx(results["feed_mm_min"][0], abs=results["feed_mm_min"][1])
    data = price(surface(float(given["length_mm"]) + approach_mm, cutter, cutter, feed), MILL)
    value, near = results[name]
    assert data["quantities"]["machine_hours"] * 60 == pytest.approx(value, abs=near)


def test_time_of_a_slab(price):
    given, results = example("surfacing", "slab milling")
    feed = results["feed_in_min"][0] * 25.4
    length = (float(given["length_in"]) + results["approach_in"][0]) * 25.4
    width = float(given["width_in"]) * 25.4
    data = price(surface(length, width, width, feed), MILL)
    value, near = results["minutes"]
    assert data["quantities"]["machine_hours"] * 60 == pytest.approx(value, abs=near)


# Invariants of the time (D): half the stepover takes twice as long, twice the feed half as long.
def test_time_scales_with_stepover_and_feed(price):
    def minutes(*sizes: float) -> float:
        return float(price(surface(1200, 600, *sizes), MILL)["quantities"]["machine_hours"]) * 60

    assert minutes(10, 6000) == pytest.approx(2 * minutes(20, 6000), rel=1e-12)
    assert minutes(20, 12000) == pytest.approx(minutes(20, 6000) / 2, rel=1e-12)


# OSA2: doubling the base at a fixed budget halves the rate; no base is an error, not infinity.
def test_a_doubled_base_halves_the_overhead(price, refused):
    shop = "[overhead]\nyear = 30000\nsold_hours = {}\n"
    once, twice = (float(price(labour(10), shop.format(n))["cost"]["overhead"]) for n in (1000, 2000))
    assert (once, twice) == (300.0, 150.0)
    assert "overhead.sold_hours" in refused(labour(10), shop.format(0))
