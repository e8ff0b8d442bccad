"""A seat on its way through the house: workbook, quote, sheet for the bench, ledger, versions, page of explain."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from documents.programs import PROGRAMS
from documents.workbooks import case_of, cell_of, differences
from end_to_end.command import edited, parsed, quoting_run
from end_to_end.ledgers import logged, ran
from published_checks.helpers import line

from quoting.job.starters import shipped

JOB = "jobs/padded_stool.toml"
SETTINGS: dict[str, tuple[str, ...]] = {
    "as it stands": (),
    "railroaded, other waste": ("upholstery.seat.railroaded=true", "upholstery.seat.waste=3 .. 7 .. 30 %"),
    "client's fabric": ("upholstery.seat.supplied=client",),
    "drawn reserve": ("price.reserve=P80", "risk.draws=500"),
    "many, with piping": (
        "piece.quantity=7",
        'upholstery.seat.cover=[{name="piping", length="20 in", width="1 1/2 in", count=4}]',
        'upholstery.seat.sheet_length="82 in"',
        'upholstery.seat.sheet_width="24 in"',
    ),
}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A copy of the sample shop."""
    return Path(shutil.copytree(Path(str(shipped("sample_jobs"))) / "tern_hollow", tmp_path / "shop"))


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_recalculated_workbook_has_the_price(program: str, shop: Path, tmp_path: Path) -> None:
    """Every figure, line and payment that another program reckons equals the engine's."""
    cases = {name: case_of(shop / JOB, settings) for name, settings in SETTINGS.items()}
    books = {name: one.book() for name, one in cases.items()}
    found = PROGRAMS[program](tmp_path / "recalculated", books)
    for name, one in cases.items():
        assert differences(found[name], one.priced) == [], name
        assert cell_of(found[name], "cost_upholstery").value == pytest.approx(
            float(one.priced.cost["upholstery"])
        )


def test_waste_and_prices_are_inputs_of_the_workbook(shop: Path) -> None:
    plan = case_of(shop / JOB).plan
    assert {"upholstery.waste", "upholstery.foam_waste", "prices.herringbone wool", "prices.jute webbing"} <= set(plan.inputs)  # fmt: skip
    assert "upholstery.seat.waste" in case_of(shop / JOB, ("upholstery.seat.waste=5 .. 9 %",)).plan.inputs


def _words(path: Path) -> str:
    with pdfplumber.open(path) as document:
        return " ".join(" ".join(page.extract_text() for page in document.pages).split())


def test_the_quote_names_the_fabric_and_the_bench_sheet_has_the_seat(shop: Path) -> None:
    done = quoting_run("quote", shop / JOB)
    assert done.returncode == 0, done.stderr
    quote = _words(shop / "jobs" / "padded_stool quote.pdf")
    assert "Herringbone wool: seat" in quote
    assert "Keep candles, cigarettes and strong heat away from upholstery" in quote
    bench = _words(shop / "jobs" / "padded_stool maker sheet.pdf")
    assert "2 seat 14 × 17 × 2 in, from 23 × 26 in, herringbone wool 0.764 yd" in bench
    assert "Rules on how covers and fillings may burn differ by country and by use" in bench


def test_fabric_of_the_client_is_told_so_on_the_quote(shop: Path) -> None:
    edited(shop / JOB, 'fabric = "herringbone wool"', 'fabric = "your own tapestry"\nsupplied = "client"')
    assert quoting_run("quote", shop / JOB).returncode == 0
    assert "Your own tapestry, supplied by you: seat" in _words(shop / "jobs" / "padded_stool quote.pdf")


def test_a_piece_is_issued_logged_and_reviewed_with_its_fabric(shop: Path) -> None:
    """Fabric, foam and webbing that the plan itself buys can be logged by their names; the ledger reads them back."""
    ran(shop, "issue", JOB)
    (number,) = [one["number"] for one in parsed(ran(shop, "pieces", "--all", "--json"))["pieces"]]
    ran(shop, "mark", number, "agreed")
    ran(shop, "log", number, "paid", "36", "--for", "herringbone wool", "--quantity", "0.8 yd")
    ran(shop, "log", number, "used", "0.8 yd herringbone wool")
    ran(shop, "log", number, "used", "13 yd jute webbing")
    ran(shop, "log", number, "hours", "2.5 h", "--task", "upholstering")
    lines = {one["id"]: one for one in logged(shop, number)["lines"]}
    assert lines["upholstery.seat.fabric"]["quantity"] == pytest.approx(0.8)
    assert lines["upholstery.seat.fabric"]["paid"] == "36.00"
    assert lines["upholstery.seat.webbing"]["recorded"]
    assert lines["upholstery.seat.upholstering"]["quantity"] == pytest.approx(2.5)
    assert "herringbone wool" in ran(shop, "show", number)
    assert parsed(ran(shop, "standing", number, "--json"))["number"] == number


def test_versions_are_compared_by_their_fabric(shop: Path) -> None:
    done = quoting_run("compare", shop / JOB, "--or", "upholstery.seat.roll_width=40 in", "--details")
    assert done.returncode == 0, done.stderr
    rows = [row.split() for row in done.stdout.splitlines() if row.strip().startswith("fabric ")]
    assert len(rows) == 1
    assert rows[0][1] != rows[0][3]


def test_the_page_shows_equations_and_figures() -> None:
    done = quoting_run("explain", "upholstery")
    assert done.returncode == 0, done.stderr
    text = " ".join(done.stdout.split())
    for words in ("ceil(pieces / side by side) x row length", "volume x density", "turn_under", "herringbone wool"):  # fmt: skip
        assert words in text


def test_jobs_without_seats_say_nothing_of_them(shop: Path) -> None:
    """No figure, group or starter value of the trade stands in the answer to another job."""
    data: dict[str, Any] = parsed(quoting_run("price", shop / "jobs" / "ash_bench.toml", "--json").stdout)
    assert "upholstery" not in {*data["cost"], *data["starter_values"]}
    assert not {"fabric_m", "foam_kg", "webbing_m"} & set(data["quantities"])
    own = parsed(quoting_run("price", shop / JOB, "--json").stdout)
    assert line(own, "upholstery.seat.fabric")["trade"] == "upholstery"
    assert own["starter_values"]["upholstery"] == 9


def test_starter_values_that_an_option_rests_on_are_told(shop: Path) -> None:
    """A seat that only an option adds rests on the shop's values as any other."""
    job = shop / "jobs" / "ash_bench.toml"
    added = '{ trade = "upholstery", part = "pad", length = "20 in", width = "12 in", fabric = "herringbone wool", wrap = "2 in" }'
    job.write_text(
        f'{job.read_text("utf-8")}\n[[option]]\nname = "Pad"\nwords = "a pad"\nadd = [ {added} ]\n', "utf-8"
    )
    assert parsed(quoting_run("price", job, "--json").stdout)["starter_values"]["upholstery"] == 9
