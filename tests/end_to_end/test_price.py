"""`quoting price`: the breakdown, the JSON object, and values tried with --set."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from decimal import Decimal
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import pytest
from end_to_end.command import SAMPLES, contents, edited, parsed, price_of, quoting_run, total

from quoting.trades.registry import trades

if TYPE_CHECKING:
    from pathlib import Path

KEYS = tomllib.loads(files("quoting").joinpath("reference", "json_keys.toml").read_text("utf-8"))
NEVER_EMPTY = {
    "tern_hollow/library_console": {"lines", "payments", "options", "buying", "unsure"},
    "tern_hollow/flax_screen": {"lines", "payments", "buying", "unsure"},
}


def sample_path(samples: Path, sample: str) -> Path:
    shop, job = sample.split("/")
    return samples / shop / "jobs" / f"{job}.toml"


def records(data: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """Every list of records in the object, by the name it has in the list of keys."""
    return {
        "payments": data["price"]["payments"],
        **{name: data[name] for name in ("lines", "options", "buying", "unsure", "warnings")},
    }


PARTS_OF = dict.fromkeys(SAMPLES, ()) | {"tern_hollow/padded_stool": ("upholstery",)}
"""Trades of a sample whose figures stand in the answers of jobs that have parts of them, and in no other."""


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_keys_of_the_json_object_are_the_listed_ones(sample: str, samples: Path) -> None:
    data = price_of(sample_path(samples, sample))
    assert list(data) == KEYS["price"]["top"]
    of_trades = [trades()[name] for name in PARTS_OF[sample]]
    more = {
        "quantities": {fact.name for one in of_trades for fact in one.facts},
        "cost": {group.name for one in of_trades for group in one.groups},
    }
    for name in ("quantities", "cost", "price"):
        assert sorted(data[name]) == sorted({*KEYS["price"][name], *more.get(name, ())}), name
    found = records(data)
    assert {name for name, rows in found.items() if rows} >= NEVER_EMPTY.get(sample, {"lines"})
    for name, rows in found.items():
        assert {tuple(row) for row in rows} <= {tuple(KEYS["price"][name])}, name
    assert set(data["inputs"]) == {sample.split("/")[1] + ".toml", "shop.toml", "prices.csv"}
    assert all(re.fullmatch(r"[0-9a-f]{64}", value) for value in data["inputs"].values())


def test_some_sample_warns(samples: Path) -> None:
    """Without a warning the keys of one would go unchecked."""
    assert any(price_of(sample_path(samples, sample))["warnings"] for sample in SAMPLES)


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_figures_of_the_json_object_foot(sample: str, samples: Path) -> None:
    data = price_of(sample_path(samples, sample))
    cost = {name: Decimal(amount) for name, amount in data["cost"].items()}
    groups: dict[str, Decimal] = defaultdict(Decimal)
    for line in data["lines"]:
        groups[line["trade"]] += Decimal(line["amount"])
    assert sum(groups.values()) == cost["planned"]
    assert {name: cost[name] for name in groups} == groups
    assert all(cost[name] == 0 for name in KEYS["price"]["cost"][:19] if name not in groups)
    assert cost["planned"] + cost["reserve"] == cost["with_reserve"]
    assert cost["own"] <= cost["replacement"]
    price = data["price"]
    assert Decimal(price["net"]) + Decimal(price["tax"]) == Decimal(price["total"])
    assert Decimal(price["goods"]) - Decimal(price["discount"]) + Decimal(price["surcharge"]) == Decimal(
        price["net"]
    )
    for name in ("net", "tax", "total"):
        assert sum(Decimal(stage[name]) for stage in price["payments"]) == Decimal(price[name])
    assert sum(Decimal(fee) for fee in price["fee_lines"].values()) == Decimal(price["fees"])
    assert sum(Decimal(line["amount"]) for line in data["buying"]) == cost["cash"]


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_line_says_how_it_was_reached(sample: str, samples: Path) -> None:
    """Ids are unique, amounts are quantity times rate, and basis and source are never empty."""
    lines = price_of(sample_path(samples, sample))["lines"]
    assert len({line["id"] for line in lines}) == len(lines)
    for line in lines:
        assert line["basis"], line["id"]
        assert line["source"], line["id"]
        # an amount is rounded to cents, and the rate is not, so they agree within half a cent
        assert abs(float(line["amount"]) - line["quantity"] * line["rate"]) <= 0.005 + 1e-6, line["id"]


@pytest.mark.parametrize(("currency", "places"), [("USD", 2), ("JPY", 0), ("KWD", 3)])
def test_amounts_are_text_with_the_digits_of_the_currency(
    currency: str, places: int, shop: Path, bench: Path
) -> None:
    edited(shop / "shop.toml", 'currency = "USD"', f'currency = "{currency}"')
    data = price_of(bench)
    price = data["price"]
    amounts = [*data["cost"].values(), *price["fee_lines"].values()]
    amounts += [price[name] for name in ("goods", "discount", "fees", "surcharge", "net", "tax", "total")]
    amounts += [row["amount"] for row in (*data["lines"], *data["buying"])]
    amounts += [stage[name] for stage in price["payments"] for name in ("net", "tax", "total")]
    pattern = rf"-?\d+\.\d{{{places}}}" if places else r"-?\d+"
    assert [
        amount for amount in amounts if not (isinstance(amount, str) and re.fullmatch(pattern, amount))
    ] == []
    assert data["currency"] == currency


def test_the_breakdown_and_the_json_object_agree(bench: Path) -> None:
    data = price_of(bench)
    shown = quoting_run("price", bench, "--details")
    assert total(shown) == f"${Decimal(data['price']['total']):,.2f}"
    for name in ("planned", "reserve", "with_reserve"):
        assert f"${Decimal(data['cost'][name]):,.2f}" in shown.stdout
    for line in data["lines"]:
        assert f"= ${Decimal(line['amount']):,.2f}" in shown.stdout, line["id"]


def test_short_leaves_out_how_each_quantity_was_reached(bench: Path) -> None:
    long, short = (quoting_run("price", bench, how) for how in ("--details", "--short"))
    basis = price_of(bench)["lines"][0]["basis"]
    assert basis.split(" = ")[0] in " ".join(long.stdout.split())
    assert basis.split(" = ")[0] not in " ".join(short.stdout.split())
    assert len(short.stdout.splitlines()) < len(long.stdout.splitlines())
    assert total(short) == total(long)


@pytest.mark.parametrize("sample", SAMPLES)
def test_no_line_is_wider_than_the_terminal(sample: str, samples: Path) -> None:
    for how in ((), ("--details",)):
        done = quoting_run("price", sample_path(samples, sample), *how)
        lines = [line.strip() for line in done.stdout.splitlines() if len(line) > 100]
        assert not [
            line for line in lines if " " in line
        ]  # what has no break in it, such as a path, may stand out


def test_price_writes_nothing(console: Path, samples: Path) -> None:
    before = contents(samples)
    quoting_run("price", console)
    quoting_run("price", console, "--json")
    assert contents(samples) == before


def test_the_same_files_give_the_same_bytes(console: Path) -> None:
    assert quoting_run("price", console, "--json").stdout == quoting_run("price", console, "--json").stdout


@pytest.mark.parametrize(
    "setting",
    [
        'hardwood.seat.waste="60 %"',
        "hardwood.seat.waste=60 %",
        "hardwood.leg.quantity=40",
        "hardwood.seat.standard.milling=9 h",
        "pricing.margin=35 %",
        "price.margin=35 %",
        "pay.owner.earn_a_year=90000",
        "overhead.workshop_rent=30000",
        "standard.sanding.time=2 h",
        "delivery.road_distance=60 mi",
        "delivery.per_distance=9 /mi",
        "prices.red oak 4/4=90",
    ],
)
def test_a_value_tried_changes_the_price_and_no_file(setting: str, shop: Path, bench: Path) -> None:
    before = contents(shop)
    usual, tried = price_of(bench), price_of(bench, "--set", setting)
    assert Decimal(tried["price"]["net"]) > Decimal(usual["price"]["net"])
    assert contents(shop) == before


@pytest.mark.parametrize(
    "setting",
    [
        "machine.router.rate=300",
        "laminate.trim=5 in",
        "casting.extra=90 %",
        "glass.standard.per_hole=999",
        "finish.coats=9",
        "metal.kerf=3 in",
    ],
)
def test_a_value_of_the_shop_in_a_section_named_like_a_trade_can_be_tried(
    setting: str, console: Path
) -> None:
    """`machine.router` of the shop file is as much a value as `pricing.margin` is."""
    done = quoting_run("price", console, "--short", "--set", setting)
    assert done.returncode in (0, 3), done.stderr
    assert total(done) != total(quoting_run("price", console, "--short"))


def test_several_values_can_be_tried_at_once(bench: Path) -> None:
    done = quoting_run(
        "price", bench, "--set", "pricing.margin=35 %", "--set", "price.reserve=0 %", "--short"
    )
    assert "asked margin 35 %" in done.stdout
    assert "reserve (0 %)" in done.stdout


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ("hardwood.leg.wast=30 %", 'write "waste"'),
        ("hardwood.lag.waste=30 %", 'write "leg"'),
        ("hardwod.leg.waste=30 %", 'write "hardwood"'),
        ("pricing.margn=30 %", 'write "margin"'),
        ("prices.felt pad=1", 'write "felt pads"'),
        ("hardwood.leg.length=16", 'found 16; write a length such as "32 mm"'),
        ("hardwood.leg=16", "write the field"),
        ("hardwood=16", "trade.part.field"),
        ("prices.felt pads=1 L", "write an amount"),
        ("nonsense", 'write path="value"'),
        ("=3", 'write path="value"'),
        ("", 'write path="value"'),
    ],
)
def test_a_path_or_value_that_cannot_be_tried_is_told(
    setting: str, words: str, shop: Path, bench: Path
) -> None:
    before = contents(shop)
    done = quoting_run("price", bench, "--set", setting)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("--set: "), done.stderr
    assert words in done.stderr
    assert contents(shop) == before


def test_a_margin_below_the_floor_is_shown_and_marked(bench: Path) -> None:
    done = quoting_run("price", bench, "--set", "price.margin=5 %")
    assert done.returncode == 3
    assert "below the floor of 10 %" in done.stdout
    shown = quoting_run("price", bench, "--json", "--set", "price.margin=5 %")
    assert shown.returncode == 3
    data = parsed(shown.stdout)
    assert data["policies_broken"] == ["below_floor"]
    assert "below_floor" in [warning["code"] for warning in data["warnings"]]
    assert list(data) == KEYS["price"]["top"]


def test_a_margin_at_the_floor_breaks_nothing(bench: Path) -> None:
    """Rounding goes up, so a margin asked at the floor is never below it."""
    done = quoting_run(
        "price", bench, "--json", "--set", "price.margin=10 %", "--set", "pricing.round_to=0.01"
    )
    assert done.returncode == 0
    assert parsed(done.stdout)["policies_broken"] == []


def test_beyond_the_furthest_delivery_the_piece_is_priced_as_collected(bench: Path) -> None:
    collected = price_of(bench, "--set", "delivery.road_distance=0 mi")
    done = quoting_run("price", bench, "--json", "--set", "delivery.road_distance=150.1 mi")
    assert done.returncode == 3
    data = parsed(done.stdout)
    assert data["policies_broken"] == ["beyond_furthest"]
    assert Decimal(data["cost"]["delivery_carried"]) == 0
    assert Decimal(data["price"]["surcharge"]) == 0
    assert Decimal(data["price"]["total"]) < Decimal(collected["price"]["total"])
    assert "carrier" in next(one["words"] for one in data["warnings"] if one["code"] == "beyond_furthest")


def test_the_furthest_delivery_itself_is_delivered(bench: Path) -> None:
    done = quoting_run("price", bench, "--json", "--set", "delivery.road_distance=150 mi")
    assert done.returncode == 0
    assert Decimal(parsed(done.stdout)["price"]["surcharge"]) > 0


def test_two_broken_policies_are_both_named(bench: Path) -> None:
    done = quoting_run(
        "price", bench, "--json", "--set", "price.margin=1 %", "--set", "delivery.road_distance=400 mi"
    )
    assert done.returncode == 3
    assert sorted(parsed(done.stdout)["policies_broken"]) == ["below_floor", "beyond_furthest"]


def test_an_old_price_breaks_the_policy_only_when_asked(shop: Path, bench: Path) -> None:
    edited(
        shop / "prices.csv",
        "felt pads,each,0.40,20,,hardware shop,2026-11-01",
        "felt pads,each,0.40,20,,hardware shop,2019-05-01",
    )
    usual, strict = quoting_run("price", bench, "--json"), quoting_run("price", bench, "--json", "--strict")
    assert (usual.returncode, strict.returncode) == (0, 3)
    assert "stale_price" in parsed(usual.stdout)["policies_broken"]
    assert any(
        "felt pads" in one["words"] and one["code"] == "stale_price"
        for one in parsed(strict.stdout)["warnings"]
    )


def test_fresh_prices_are_strictly_right(bench: Path) -> None:
    edited(bench, "#date = 2027-03-01", "date = 2026-12-01")
    assert quoting_run("price", bench, "--strict").returncode == 0


def test_a_job_of_its_head_alone_prices(bench: Path) -> None:
    """Office hours are all there is; every key is there all the same."""
    bench.write_text('format = 1\n\n[piece]\ntitle = "Idea of a bench"\n', "utf-8")
    data = price_of(bench)
    assert {line["trade"] for line in data["lines"]} == {"labour", "sundries", "overhead"}
    assert Decimal(data["price"]["total"]) > 0
    assert sorted(data["quantities"]) == sorted(KEYS["price"]["quantities"])
    assert quoting_run("price", bench).returncode == 0


def test_a_job_of_empty_sections_prices_as_if_they_were_not_there(bench: Path) -> None:
    head = 'format = 1\n{}\n[piece]\ntitle = "Idea of a bench"\n{}'
    bench.write_text(head.format("", ""), "utf-8")
    usual = price_of(bench)
    lists = "hardwood = []\nglass = []\nbuy = []\noption = []\n"
    bench.write_text(head.format(lists, "[client]\n[price]\n[quote]\n[risk]\n[cause]\n"), "utf-8")
    empty = price_of(bench)
    assert {**empty, "inputs": {}} == {**usual, "inputs": {}}


def test_a_job_that_costs_nothing_prices_at_nothing(shop: Path, bench: Path) -> None:
    """No hours and no things: the total is zero, or the least price, and nothing divides by it."""
    edited(shop / "shop.toml", '#office_time = "job"', 'office_time = "overhead"')
    edited(shop / "shop.toml", '[channel.direct]\nfees = ["card"]', "[channel.direct]\nfees = []")
    bench.write_text('format = 1\n\n[piece]\ntitle = "Nothing"\n', "utf-8")
    data = price_of(bench)
    assert Decimal(data["price"]["total"]) == 0
    assert data["lines"] == [] or {Decimal(line["amount"]) for line in data["lines"]} == {Decimal(0)}
    assert quoting_run("price", bench).returncode in (0, 3)


def test_six_hundred_parts_price_in_sensible_time(bench: Path) -> None:
    """A few seconds on an ordinary machine; the limit leaves room for a busy one."""
    import time

    rows = "".join(
        f'\n[[hardwood]]\npart = "slat {i}"\nspecies = "red oak"\nlength = "{20 + i % 30} in"\nwidth = "2 in"\n'
        f'thickness = "3/4 in"\nquantity = {1 + i % 3}\njoints = 2\n'
        for i in range(600)
    )
    bench.write_text('format = 1\n\n[piece]\ntitle = "Screen of slats"\n' + rows, "utf-8")
    start = time.monotonic()
    data = price_of(bench)
    assert time.monotonic() - start < 20
    assert sum(line["trade"] == "hardwood" for line in data["lines"]) == 600
    assert quoting_run("price", bench).returncode == 0


def test_options_are_priced_in_the_place_of_the_piece(console: Path) -> None:
    """Each option's total is what the job costs with the option's values set."""
    data = price_of(console)
    job = tomllib.loads(console.read_text("utf-8"))
    assert [one["name"] for one in data["options"]] == [one["name"] for one in job["option"]]
    checked = 0
    for option, shown in zip(job["option"], data["options"], strict=True):
        if option.get("add") or option.get("drop"):
            continue
        arguments = [word for path, value in option["set"].items() for word in ("--set", f"{path}={value}")]
        assert price_of(console, *arguments)["price"]["total"] == shown["total"]
        checked += 1
    assert checked


def test_a_tariff_of_the_shop_can_be_tried(console: Path) -> None:
    """--set reaches a price inside a table of the shop file, also where a trade has the same name."""
    plain, dearer = price_of(console), price_of(console, "--set", "glass.standard.per_edge.polished=90 /m")
    assert Decimal(dearer["cost"]["glass"]) > Decimal(plain["cost"]["glass"])


def test_a_range_that_is_tried_is_told_as_it_was_tried(console: Path) -> None:
    """The words of what is not sure are those of the value set, not of the file."""
    for name, words in (("standard.design.time", "3 .. 6 .. 41 h"), ("pace.factor", "0.8 .. 1 .. 1.9")):
        found = {one["name"]: one["words"] for one in price_of(console, "--set", f"{name}={words}")["unsure"]}
        assert found[name] == words
