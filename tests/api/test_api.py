"""Python gets what the terminal gets: the same recipes, the same data, the same errors; nothing of a terminal in between."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

import quoting
from quoting import Job, Shop
from quoting.__main__ import run

SAMPLES = Path(__file__).parents[2] / "sample_jobs" / "tern_hollow"
JOBS = SAMPLES / "jobs"
OLD_SHOP = Path(__file__).parents[1] / "ledger" / "issued_before" / "shop"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with a ledger: a copy, for whoever opens it brings it up to date."""
    return Path(shutil.copytree(OLD_SHOP, tmp_path_factory.mktemp("book") / "shop"))


CONSOLE, CUPBOARD, BENCH = (
    JOBS / f"{name}.toml" for name in ("library_console", "boot_cupboard", "ash_bench")
)
FEW = ("risk.draws=400",)

ASKED: list[tuple[str, tuple[str, ...], Callable[[Job], Any]]] = [
    ("price", (), lambda job: job.price()),
    ("risk", ("--draws", "400", "--seed", "3"), lambda job: job.risk(400, 3)),
    ("reach", ("--to", "47.9, -116.9"), lambda job: job.reach(to="47.9, -116.9")),
    ("reach", ("--price", "9000", "--carrier", "400"), lambda job: job.reach(price=9000, carrier=400)),
    ("compare", (), lambda job: job.compare()),
    (
        "compare",
        ("--or", "pricing.margin=40 %"),
        lambda job: job.compare(columns=({"pricing.margin": "40 %"},)),
    ),
    (
        "sell",
        ("--price", "9500", "--channel", "gallery"),
        lambda job: job.sell(price=9500, channel="gallery"),
    ),
]
OF_SHOP: list[tuple[tuple[str, ...], Callable[[Shop], Any]]] = [
    (("pieces",), lambda shop: shop.pieces()),
    (("pieces", "--all"), lambda shop: shop.pieces(everything=True)),
    (
        ("standing", "2026-004", "--on", "2026-09-21", "--draws", "400"),
        lambda shop: shop.standing("2026-004", "2026-09-21", draws=400),
    ),
    (("today",), lambda shop: shop.today()),
    (("buying",), lambda shop: shop.buying()),
    (("buying", "2026-004"), lambda shop: shop.buying("2026-004")),
    (("rates",), lambda shop: shop.rates()),
    (("review", "2026-001"), lambda shop: shop.review("2026-001")),
    (("review",), lambda shop: shop.review()),
    (("learn",), lambda shop: shop.learn()),
]


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    """What a command prints as data."""
    assert run([*arguments, "--json"]) in (0, 3)
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("asked", ASKED, ids=lambda one: " ".join((one[0], *one[1])))
def test_a_job_answers_as_the_command_does(
    asked: tuple[str, tuple[str, ...], Callable[[Job], Any]], capsys: pytest.CaptureFixture[str]
) -> None:
    command, options, ask = asked
    settings = {"risk.draws": 400, "price.reserve": "10 %"}
    tried = [word for path, value in settings.items() for word in ("--set", f"{path}={value}")]
    assert ask(quoting.load(CONSOLE, settings=settings)).to_dict() == printed(
        capsys, command, str(CONSOLE), *tried, *options
    )


def test_a_cut_plan_is_that_of_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    plan = quoting.load(str(CUPBOARD)).cut()
    assert plan.to_dict() == printed(capsys, "cut", str(CUPBOARD))
    cut = plan.to_frame()
    assert {"item", "stock", "part", "length_m"} <= set(cut.columns)
    assert len(cut) == sum(len(stock["pieces"]) for one in plan.to_dict()["plans"] for stock in one["stocks"])


@pytest.mark.parametrize("asked", OF_SHOP, ids=lambda one: " ".join(one[0]))
def test_a_shop_answers_as_the_command_does(
    asked: tuple[tuple[str, ...], Callable[[Shop], Any]], book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments, ask = asked
    found = ask(quoting.shop(book))
    where = (str(book),) if arguments == ("rates",) else ("--shop", str(book))
    assert found.to_dict() == printed(capsys, *arguments, *where)
    assert len(found.to_frame())


def test_a_quote_is_written_whole(tmp_path: Path) -> None:
    made = quoting.load(BENCH).quote(tmp_path / "papers", xml=True)
    assert sorted(path.name for path in made.files) == [
        "ash_bench breakdown.xlsx", "ash_bench maker sheet.pdf", "ash_bench quote.pdf", "ash_bench quote.xml",
    ]  # fmt: skip
    assert made.total == quoting.load(BENCH).price().total
    assert all(path.stat().st_size > 1000 for path in made.files)


def test_figures_have_names_and_kinds() -> None:
    price = quoting.load(BENCH, settings={"price.reserve": "10 %"}).price()
    data = price.to_dict()
    assert (price.total, price.net, price.currency) == (
        Decimal(data["price"]["total"]), Decimal(data["price"]["net"]), data["currency"],
    )  # fmt: skip
    assert price.margin == pytest.approx(data["price"]["margin"], abs=1e-9)
    assert price.hours == pytest.approx(data["quantities"]["labour_hours"], abs=1e-9)
    frame = price.to_frame()
    assert list(frame["id"]) == [line["id"] for line in data["lines"]]
    assert sum(Decimal(amount) for amount in frame["amount"]) == sum(
        Decimal(one["amount"]) for one in data["lines"]
    )


def test_the_day_is_an_argument(book: Path) -> None:
    """It is the day that a quote is priced for, and the one that pieces are told of."""
    day = date(2031, 5, 6)
    job = quoting.load(JOBS / "flax_screen.toml", today=day)
    assert job.price().found.day == (job.price().found.job.quote.date or day)
    assert quoting.shop(book, today=day).pieces().to_dict()["day"] == "2031-05-06"


def every(book: Path) -> list[Any]:
    job, shop = quoting.load(CONSOLE, settings={"risk.draws": 400}), quoting.shop(book)
    asked = [ask(job) for _, _, ask in ASKED]
    return [*asked, job.calendar(), quoting.load(CUPBOARD).cut(), *(ask(shop) for _, ask in OF_SHOP)]


def test_every_answer_is_short_in_a_line_and_whole_on_a_page(book: Path) -> None:
    """In a notebook: a line that fits, HTML that is well-formed, with a picture where the commands draw one."""
    pictures = set()
    for found in every(book):
        assert repr(found).startswith(f"<{type(found).__name__} of ")
        assert "\n" not in repr(found)
        assert len(repr(found)) < 400
        page = fromstring(found._repr_html_())
        if page.find("{http://www.w3.org/2000/svg}svg") is not None:
            pictures.add(type(found).__name__)
        assert len(found.to_frame().columns)
    assert pictures == {"Price", "Risk", "Reach", "Calendar", "CutPlan", "Review"}


def test_answers_cannot_be_changed() -> None:
    price = quoting.load(BENCH).price()
    with pytest.raises(AttributeError):
        price.found = None  # type: ignore[assignment, misc]


def test_text_of_a_maker_stays_text_on_the_page(tmp_path: Path) -> None:
    hostile = '<script>alert(1)</script> & "bench"'
    price = quoting.load(BENCH, settings={"piece.title": hostile}).price()
    page = price._repr_html_()
    assert "<script>" not in page
    assert hostile in "".join(fromstring(page).itertext())


def test_all_that_is_wrong_is_in_the_exception(tmp_path: Path) -> None:
    shop = Path(shutil.copytree(SAMPLES, tmp_path / "shop", ignore=shutil.ignore_patterns("ledger*")))
    job = shop / "jobs" / "ash_bench.toml"
    job.write_text(
        job.read_text("utf-8").replace("length = ", "lenght = ", 1) + '\n[[buy]]\nitem = "x"\n', "utf-8"
    )
    with pytest.raises(quoting.Problems) as wrong:
        quoting.load(job)
    assert len(wrong.value.problems) > 1
    assert all(isinstance(one, quoting.Problem) for one in wrong.value.problems)
    assert {one.file for one in wrong.value.problems} == {"ash_bench.toml"}
    assert "lenght" in str(wrong.value)


def test_a_job_may_be_a_text_or_tables() -> None:
    """Of a shop that is named, priced as the file is; everything that is asked of a file may be asked of it."""
    text = BENCH.read_text("utf-8")
    few = {"risk.draws": 400}
    file = quoting.load(BENCH, settings=few)
    for given in (text, tomllib.loads(text)):
        job = quoting.load(given, SAMPLES, few)
        assert job.price().total == file.price().total
        assert job.risk().cost == file.risk().cost
        assert job.sell().target == file.sell().target
        assert len(job.reach().to_frame()) == len(file.reach().to_frame())
        assert job.compare(columns=({"pricing.margin": "40 %"},)).to_frame()["name"].tolist()[0] == "as it is"
    with pytest.raises(quoting.Problems, match="shop"):
        quoting.load(text)


def test_a_quote_of_a_text_is_written_where_it_is_told(tmp_path: Path) -> None:
    made = quoting.load(BENCH.read_text("utf-8"), SAMPLES).quote(tmp_path)
    assert sorted(path.name for path in made.files) == [
        "job breakdown.xlsx",
        "job maker sheet.pdf",
        "job quote.pdf",
    ]


def test_what_is_wrong_is_told_beside_what_can_be_priced() -> None:
    """Nothing is raised: the other parts are priced, and each problem says where it stands."""
    head, part, rest = BENCH.read_text("utf-8").partition("[[hardwood]]")
    text = head + part + rest.replace("length = ", "lenght = ", 1)
    found = quoting.check(text, SAMPLES)
    assert [one.path for one in found.problems if one.code == "unknown_field"] == [("hardwood", 0, "lenght")]
    assert len(found.left_out) == 1
    assert found.price is not None
    assert 0 < found.price.total < quoting.load(BENCH).price().total
    whole = found.to_dict()
    assert [one["code"] for one in whole["problems"]] == list(found.to_frame()["code"])
    assert whole["left_out"] == list(found.left_out)
    assert quoting.check(BENCH).problems == ()


@pytest.mark.parametrize(
    "given",
    ["no such.toml", "no = toml\n= 3", {}, {"format": 1, "piece": 3}, 7, {"format": 2**70}, "\0\n", {1: 2}],
)
def test_nothing_that_is_given_raises_but_problems(given: Any) -> None:
    found = quoting.check(given, SAMPLES)
    assert found.problems
    assert found.price is None
    with pytest.raises(quoting.Problems):
        quoting.load(given, SAMPLES)


def test_what_is_not_there_is_told(book: Path) -> None:
    with pytest.raises(quoting.Problems):
        quoting.load("no such job.toml")
    with pytest.raises(quoting.Problems):
        quoting.shop("no such folder")
    with pytest.raises(quoting.Problems):
        quoting.shop(book).review("2026-099")
    with pytest.raises(AttributeError, match="no attribute 'prise'"):
        quoting.prise  # noqa: B018


def test_importing_it_loads_nothing() -> None:
    """The rest comes with what is first asked for, and a notebook is told what there is."""
    listed = (
        "import sys; before = set(sys.modules); import quoting; print(*sorted(set(sys.modules) - before))"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-c", listed],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(quoting.__file__).parents[1],
    )
    assert done.stdout.split() == ["quoting"]
    assert {"load", "shop", "Problems", "__version__"} <= set(dir(quoting))


def test_it_is_typed() -> None:
    """A checker of types reads the annotations of whoever uses it."""
    assert Path(quoting.__file__).with_name("py.typed").is_file()


def test_a_job_and_a_quote_are_found_by_what_a_maker_calls_them(book: Path) -> None:
    assert quoting.load("ash-bench", shop=SAMPLES).price().total == quoting.load(BENCH).price().total
    assert quoting.shop(book).review(1).to_dict() == quoting.shop(book).review("2026-001").to_dict()
    with pytest.raises(quoting.Problems, match='ends with "99"'):
        quoting.shop(book).review(99)
