"""risk, reach, compare and sell as a maker runs them: words, figures, papers, and what is refused."""

from __future__ import annotations

import io
import json
import tomllib
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import openpyxl
import pdfplumber
import pytest
from end_to_end.command import ROOT, contents, edited, parsed, price_of, quoting_run
from PIL import Image

if TYPE_CHECKING:
    from pathlib import Path

KEYS = tomllib.loads((ROOT / "quoting" / "reference" / "json_keys.toml").read_text("utf-8"))
SAMPLES = ("tern_hollow/ash_bench", "tern_hollow/flax_screen", "tern_hollow_overseas/oak_stool")
SECRET = ("margin", "cost", "hours", "floor", "reserve", "haggle")


def data_of(*arguments: str | Path, status: int = 0) -> dict:
    done = quoting_run(*arguments, "--json")
    assert done.returncode == status, done.stderr
    return parsed(done.stdout)


def keyed(command: str, data: dict) -> None:
    """The keys of an answer, and of what stands in it, are those that the schema file lists."""
    keys = KEYS[command]
    assert list(data) == keys["top"]
    for name in set(keys) - {"top"} & set(data):
        found = data.get(name)
        for one in found if isinstance(found, list) else [found]:
            if one is not None:
                assert list(one) == keys[name], name


def test_risk_says_how_sure_the_price_is(console: Path, tmp_path: Path) -> None:
    """In plain words; with figures that agree with the price; and twice the same to the letter."""
    done = quoting_run("risk", console, "--details", "--out", tmp_path / "out")
    assert (done.returncode, done.stderr) == (0, "")
    for words in (
        "8 in 10 builds cost less than",
        "it loses money in",
        "What moves the cost",
        "Setbacks",
        "2 rounds",
    ):
        assert words in done.stdout
    assert "P80" not in done.stdout and "variance" not in done.stdout
    again = quoting_run("risk", console, "--details").stdout
    assert again.partition("Next: ")[0] in done.stdout
    data = data_of("risk", console)
    keyed("risk", data)
    near = ("--set", "delivery.road_distance=10 mi")
    assert data["price_total"] == price_of(console)["price"]["total"]
    close = data_of("risk", console, *near)  # nothing is surcharged, and its reserve is what draws say
    assert (
        close["price_total"]
        == close["price_total_covering_p80"]
        == price_of(console, *near)["price"]["total"]
    )
    assert sum(one["chance"] for one in data["bagging_rounds"]) == pytest.approx(1.0)
    other = price_of(console, "--set", "price.reserve=5 %")["price"]["total"]
    loose = data_of("risk", console, "--set", "price.reserve=5 %")
    assert loose["price_total"] == other and float(loose["price_total_covering_p80"]) > float(other)
    assert loose["cost"] == data["cost"]


def test_the_picture_of_risk_is_there_as_svg_and_png(console: Path, tmp_path: Path) -> None:
    """Text stays text in the one; the other opens; the same job gives the same bytes."""
    for folder in ("one", "two"):
        assert quoting_run("risk", console, "--out", tmp_path / folder).returncode == 0
    assert contents(tmp_path / "one") == contents(tmp_path / "two")
    svg = (tmp_path / "one" / "library_console risk.svg").read_bytes()
    said = " ".join(ElementTree.fromstring(svg).itertext())
    assert "pace" in said and "8 in 10" in said
    with Image.open(tmp_path / "one" / "library_console risk.png") as picture:
        assert picture.format == "PNG" and picture.width > 1000
        assert len(picture.convert("RGB").getcolors(1 << 20) or []) > 10


def test_the_picture_stands_on_the_makers_sheet_and_in_the_workbook_alone(
    console: Path, tmp_path: Path
) -> None:
    """The client never sees how sure the price is, nor what it can be sold for."""
    assert quoting_run("quote", console, "--out", tmp_path).returncode == 0
    with pdfplumber.open(tmp_path / "library_console maker sheet.pdf") as sheet:
        assert "What moves the cost most" in (sheet.pages[-1].extract_text() or "")
        assert "INTERNAL" in (sheet.pages[-1].extract_text() or "")
    book = openpyxl.load_workbook(tmp_path / "library_console breakdown.xlsx")
    assert book["Risk"]._images and book.sheetnames[-2:] == ["Risk", "Selling"]
    with pdfplumber.open(tmp_path / "library_console quote.pdf") as paper:
        text = " ".join(page.extract_text() or "" for page in paper.pages)
    assert "builds" not in text and "moves the cost" not in text


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_command_answers_for_every_sample(sample: str, samples: Path) -> None:
    """Also where nothing is pressed, and in euros with tax shown in the price."""
    shop, name = sample.split("/")
    job = samples / shop / "jobs" / f"{name}.toml"
    keyed("risk", data_of("risk", job, "--draws", "500"))
    keyed("reach", data_of("reach", job, "--road", "30 mi", "--carrier", "150"))
    keyed("sell", data_of("sell", job, "--price", "3000"))
    data = data_of("compare", job, "--or", "pricing.margin=40 %")
    keyed("compare", data)
    one, other = (version["figures"] for version in data["versions"])
    assert float(other["price_total"]) > float(one["price_total"])
    assert other["planned_cost"] == one["planned_cost"]
    for command in (("risk",), ("reach",), ("sell",)):
        done = quoting_run(*command, job.name, cwd=job.parent)
        assert (done.returncode, done.stderr) == (0, "")
        assert max(map(len, done.stdout.splitlines())) <= 100


def test_seeds_and_draws(console: Path) -> None:
    """The same seed the same answer, another another; more draws know it better."""
    few, same, other, many = (
        data_of("risk", console, "--draws", count, "--seed", seed)["cost"]
        for count, seed in (("2000", "1"), ("2000", "1"), ("2000", "2"), ("50000", "1"))
    )
    assert few == same != other
    assert many[2]["error"] < few[2]["error"] / 3


def test_reach_compares_ways_and_a_carrier(console: Path, samples: Path) -> None:
    """A van by the shop file; one more helper reaches less far; the picture is written on wish."""
    shop = samples / "tern_hollow" / "shop.toml"
    edited(shop, "hired_van = 85", "hired_van = 95")
    data = data_of("reach", console, "--to", "47.9, -117.3", "--carrier", "400", "--out", samples)
    assert [way["name"] for way in data["ways"]] == ["as planned", "with one more helper", "with a hired van"]
    usual, helper, van = (way["at_floor_m"] for way in data["ways"])
    assert helper < usual < van
    assert data["straight_m"] * 1.3 == pytest.approx(data["asked_m"])
    assert {path.name for path in samples.glob("*reach*")} == {
        "library_console reach.svg",
        "library_console reach.png",
    }
    assert (
        "less than your own trip"
        in quoting_run("reach", console, "--road", "60 mi", "--carrier", "400").stdout
    )


def test_a_client_beyond_the_furthest_delivery(console: Path) -> None:
    """Told of, priced as collected, exit 3, in all that asks about the distance."""
    for command in (
        ("reach",),
        ("reach", "--to", "44.0, -110.0"),
        ("risk",),
        ("compare", "--or", "pricing.margin=30 %"),
    ):
        more = () if "--to" in command else ("--set", "delivery.road_distance=400 mi")
        done = quoting_run(command[0], console, *command[1:], *more, "--details")
        assert done.returncode == 3, done.stdout
        if command[0] == "reach":
            assert "It is beyond your furthest delivery" in done.stdout
        if command[0] == "compare":
            assert done.stdout.count("priced as collected") >= 2


def test_surcharges_with_tax_in_them_are_told_as_the_client_sees_them(samples: Path) -> None:
    """Prices of the overseas shop are shown with tax: so is the surcharge, which is net in the JSON object."""
    job = samples / "tern_hollow_overseas" / "jobs" / "oak_stool.toml"
    shown = quoting_run("reach", job, "--road", "90 km").stdout
    row = next(
        one for one in data_of("reach", job, "--road", "90 km")["distances"] if one["road_m"] == 90_000
    )
    assert f"{row['needed'] * 1.19:.2f}" in shown


def test_days_that_a_supplier_rules_are_marked(console: Path) -> None:
    """Nothing else differs in the days: a longer lead is a sure difference."""
    data = data_of("compare", console, "--or", "outwork.powder-coating.lead=20 weeks")
    assert "lead_days" in data["versions"][-1]["surely_differs"]


def test_compare_shows_options_columns_and_jobs(console: Path) -> None:
    """What changes, figures side by side, marks, and what the difference answers."""
    done = quoting_run(
        "compare",
        console,
        "--or",
        "laminate.drawer-front.bag=reusable",
        "--or",
        "glass.shelf.treatment=annealed",
    )
    assert (done.returncode, done.stderr) == (0, "")
    for words in (
        "2 in cherry",
        "it has paid after",
        "annealed instead of tempered glass costs",
        "came 55 % higher",
    ):
        assert words in done.stdout
    data = data_of("compare", console)
    first, cherry, bare = data["versions"]
    assert first["changes"] == first["surely_differs"] == []
    assert cherry["changes"][0] == "hardwood.top.species = cherry"
    assert bare["changes"] == [
        "without glass.shelf",
        "without metal.shelf-bracket",
        "without outwork.powder-coating",
    ]
    assert "planned_cost" in cherry["surely_differs"]
    totals = [one["figures"]["price_total"] for one in (cherry, bare)]
    assert totals == [one["total"] for one in price_of(console)["options"]]
    jobs = data_of("compare", console, console.with_name("ash_bench.toml"))
    assert [one["name"] for one in jobs["versions"]] == ["library_console", "ash_bench"]


def test_prices_that_would_even_out_two_versions(console: Path) -> None:
    """Cherry at the price that the answer names costs what walnut costs."""
    answer = next(
        a for a in data_of("compare", console)["versions"][1]["answers"] if a["name"] == "price_factor"
    )
    book = (console.parents[1] / "prices.csv").read_text("utf-8")
    rows = [line.split(",") for line in book.splitlines() if line.startswith("cherry")]
    settings = [f"--set=prices.{row[0]}={float(row[2]) * answer['figure']!r}" for row in rows]
    first, cherry, _ = data_of("compare", console, *settings)["versions"]
    costs = [float(one["figures"]["planned_cost"]) for one in (first, cherry)]
    assert costs[1] == pytest.approx(costs[0], abs=0.05)


def test_an_option_kept_to_the_shop_is_not_printed(console: Path, tmp_path: Path) -> None:
    """show = false: compared, but not offered."""
    edited(console, 'name = "in cherry"', 'name = "in cherry"\nshow = false')
    assert quoting_run("quote", console, "--out", tmp_path).returncode == 0
    with pdfplumber.open(tmp_path / "library_console quote.pdf") as paper:
        text = " ".join(page.extract_text() or "" for page in paper.pages)
    assert "without the glass shelf" in text and "in cherry" not in text


def test_sell_answers_with_plain_figures_first(console: Path) -> None:
    """Still to spend, spent, cost, target; then the price asked about, what was expected, and the channels."""
    edited(console, 'why = "for a public library"', 'why = "for a public library"\nexpected = "7000 .. 9000"')
    done = quoting_run("sell", console, "--price", "8200", "--details")
    assert (done.returncode, done.stderr) == (0, "")
    order = ("still to spend", "cash spent", "cost with own pay", "target price", "Sold at $8,200.00", "You expect it to fetch $7,000.00", "Through direct", "Through gallery")  # fmt: skip
    places = [done.stdout.index(words) for words in order]
    assert places == sorted(places)
    data = data_of("sell", console, "--price", "8200")
    asked = data["asked"]
    assert float(asked["stays_in_hand"]) == pytest.approx(
        float(asked["reaches_hand"]) - float(data["still_to_spend"]), abs=0.01
    )
    kept = float(asked["reaches_hand"]) - float(asked["set_aside"]) - float(data["cost_with_own_pay"])
    assert asked["margin"] == pytest.approx(kept / float(asked["net"]), abs=1e-5)
    assert float(asked["an_own_hour"]) == pytest.approx(
        (kept + float(data["own_pay"])) / data["own_hours"], abs=0.02
    )
    at_target = data_of("sell", console, "--price", data["target_price"])["asked"]
    assert 0.25 <= at_target["margin"] < 0.2506


def test_sell_starts_from_what_happened(booked: Path) -> None:
    """The lectern has cost more than its plan; nothing is left to spend on it, and no reserve is needed any more."""
    data = parsed(quoting_run("sell", "2026-001", "--json", "--shop", booked).stdout)
    planned = data_of("sell", booked / "jobs" / "lectern.toml")
    assert data["actual"] and not planned["actual"]
    assert (data["still_to_spend"], data["reserve_left"]) == ("0.00", "0.00")
    assert float(data["cost_in_the_workshop"]) > float(planned["cost_in_the_workshop"]) * 1.2
    pieces = parsed(quoting_run("pieces", "--all", "--json", cwd=booked).stdout)["pieces"]
    spent = next(one for one in pieces if one["number"] == "2026-001")
    brought = float(spent["expected_cost"]) - float(data["cost_in_the_workshop"])
    assert 100 < brought < 200  # what its delivery has cost: the channel adds a delivery of its own


def test_card_and_offer_say_the_price_and_nothing_of_the_cost(console: Path, tmp_path: Path) -> None:
    """One page; the list price of the channel, or the price asked about; the record holds terms of schema.org alone."""
    done = quoting_run("sell", console, "--channel", "gallery", "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    data = data_of("sell", console, "--channel", "gallery")
    listed = next(one for one in data["channels"] if one["name"] == "gallery")["list_price"]
    with pdfplumber.open(tmp_path / "library_console price card.pdf") as card:
        assert len(card.pages) == 1
        text = card.pages[0].extract_text()
    assert f"{float(listed['price']):,.2f}" in text
    assert not [word for word in SECRET if word in text.casefold()]
    offer = json.loads((tmp_path / "library_console offer.json").read_text("utf-8"))
    assert offer["@context"] == "https://schema.org" and offer["@type"] == "Offer"
    assert (offer["price"], offer["priceCurrency"]) == (listed["price"], "USD")
    # Terms of schema.org (data/schema.ttl at cc71c8e0, Apache-2.0): Offer and what it inherits.
    assert set(offer) <= {
        "@context", "@type", "itemOffered", "price", "priceCurrency", "priceSpecification", "availability",
        "itemCondition", "seller", "sku", "deliveryLeadTime",
    }  # fmt: skip
    again = quoting_run("sell", console, "--price", "9000", "--out", tmp_path / "again")
    assert again.returncode == 0
    assert (
        json.loads((tmp_path / "again" / "library_console offer.json").read_text("utf-8"))["price"]
        == "9000.00"
    )


def test_a_card_of_a_piece_without_a_code(bench: Path, tmp_path: Path) -> None:
    """The first job of a new shop has none: the card is dated all the same, and long words stay on one page."""
    edited(bench, 'words = "', 'words = "' + "A bench to sit on while the kettle boils. " * 40)
    done = quoting_run("sell", bench, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    with pdfplumber.open(tmp_path / "first-bench price card.pdf") as card:
        assert len(card.pages) == 1
        assert "Date" in card.pages[0].extract_text()


def test_a_price_that_rests_on_no_draws_is_quoted_without_them(console: Path, tmp_path: Path) -> None:
    """Draws that fall beyond a bound too often are refused by `risk`, and left out of papers whose reserve is a share."""
    edited(console, 'time_per_ply = "3 .. 4 .. 6 min"', 'time_per_ply = "3 .. 4 .. 110 min"')
    edited(console, 'reserve = "P80"', 'reserve = "10 %"')
    refused = quoting_run("risk", console)
    assert refused.returncode == 2
    assert "of draws (limit 5 %)" in refused.stderr
    done = quoting_run("quote", console, "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "how sure the price is was left out" in done.stdout
    assert "Risk" not in openpyxl.load_workbook(tmp_path / "library_console breakdown.xlsx").sheetnames


def test_what_was_sold_is_told_at_its_price_and_has_no_card(booked: Path, tmp_path: Path) -> None:
    """The price agreed stands in for --price; a card would offer what is gone."""
    data = parsed(quoting_run("sell", "2026-001", "--json", "--shop", booked).stdout)
    rows = parsed(quoting_run("pieces", "--all", "--json", cwd=booked).stdout)["pieces"]
    agreed = next(one for one in rows if one["number"] == "2026-001")["contract_net"]
    assert data["asked"]["price"] == agreed
    done = quoting_run("sell", "2026-001", "--shop", booked, "--out", tmp_path)
    assert done.returncode == 2 and "it is not for sale" in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_picture_that_was_changed_is_left_alone_unless_one_says_so(console: Path, tmp_path: Path) -> None:
    """As the papers of a quote are."""
    picture = tmp_path / "library_console risk.png"
    assert quoting_run("risk", console, "--out", tmp_path).returncode == 0
    picture.write_bytes(b"mine")
    refused = quoting_run("risk", console, "--out", tmp_path)
    assert refused.returncode == 2 and "--overwrite" in refused.stderr and picture.read_bytes() == b"mine"
    assert quoting_run("risk", console, "--out", tmp_path, "--overwrite").returncode == 0
    assert picture.read_bytes() != b"mine"


REFUSED = {
    "draws": (("risk", "{job}", "--draws", "10"), "--draws: found 10"),
    "seed": (("risk", "{job}", "--seed", "-1"), "--seed: found -1"),
    "nothing to reach": (("reach",), "neither a job nor a price with a cost"),
    "a price of nothing": (("reach", "--price", "0", "--cost", "5"), "write a price above zero"),
    "a comma": (("reach", "--price", "3,000", "--cost", "2,000"), "without a comma"),
    "two costs": (("reach", "{job}", "--cost", "100"), "which has its own cost"),
    "a place": (("reach", "{job}", "--to", "Paris"), "write latitude and longitude"),
    "beyond the globe": (("reach", "{job}", "--to", "91, 10"), 'found "91, 10"'),
    "place and road": (("reach", "{job}", "--to", "47, -117", "--road", "3 mi"), "write one of them"),
    "road": (("reach", "{job}", "--road", "3 lb"), "--road"),
    "nothing to compare": (("compare", "{plain}"), "nothing to compare it with"),
    "an unknown path": (
        ("compare", "{job}", "--or", "glass.shelff.treatment=annealed"),
        'no glass part "shelff"',
    ),
    "an empty column": (("compare", "{job}", "--or", ";"), "write path=value"),
    "a fault of a column": (("compare", "{job}", "--or", "glass.shelf.holes=x"), "--or: glass.shelf.holes"),
    "several jobs and a column": (("compare", "{job}", "{plain}", "--or", "a=b"), "found several jobs"),
    "currencies": (("compare", "{job}", "{euro}"), "name jobs of one currency"),
    "a channel": (("sell", "{job}", "--channel", "galery"), "gallery"),
    "a price": (("sell", "{job}", "--price", "$8000"), "without its currency"),
    "a price of nothing to sell at": (("sell", "{job}", "--price", "0"), "write a price above zero"),
    "a number": (("sell", "2031-001", "--shop", "{shop}"), "ledger"),
    "a missing job": (("sell", "nowhere.toml"), "nowhere.toml"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_refused(name: str, samples: Path) -> None:
    """With what was found and what to write; nothing is written."""
    arguments, words = REFUSED[name]
    shop = samples / "tern_hollow"
    places = {
        "job": shop / "jobs" / "library_console.toml", "plain": shop / "jobs" / "ash_bench.toml", "shop": shop,
        "euro": samples / "tern_hollow_overseas" / "jobs" / "oak_stool.toml",
    }  # fmt: skip
    before = contents(samples)
    done = quoting_run(*(one.format(**places) for one in arguments), cwd=samples)
    assert done.returncode == 2, done.stdout
    assert words in done.stderr
    assert contents(samples) == before


def test_hostile_text_stays_text(console: Path, tmp_path: Path) -> None:
    """In pictures, on the card, in the record, in the terminal."""
    edited(
        console, 'title = "Entrance console with a resin inlay"', 'title = "<b>&amp; =1+1 \\u202e[31m</b>"'
    )
    for command in ("risk", "reach", "sell"):
        done = quoting_run(command, console, "--out", tmp_path)
        assert done.returncode == 0, done.stderr
        assert "\u202e" not in done.stdout and "<b>&amp;" in done.stdout
    assert "<b>&amp;" in "".join(
        ElementTree.parse(tmp_path / "library_console reach.svg").getroot().itertext()
    )
    record = (tmp_path / "library_console offer.json").read_text("utf-8")
    assert "<" not in record  # it stands between script tags of a page
    offer = json.loads(record)
    assert offer["itemOffered"]["name"].startswith("<b>&amp; =1+1")
    with pdfplumber.open(io.BytesIO((tmp_path / "library_console price card.pdf").read_bytes())) as card:
        assert "<b>&amp; =1+1" in card.pages[0].extract_text()
