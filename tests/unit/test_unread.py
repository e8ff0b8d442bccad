"""Fields that cannot be read hide nothing else, and what rests on them is not judged."""

from __future__ import annotations

import copy
import json
import random
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from quoting.job.starters import shipped
from quoting.runs.answer import answer, options_of
from quoting.unread import Partly, Unread, hollow, judged, replaced, with_holes

if TYPE_CHECKING:
    from collections.abc import Iterator

DAY = date(2027, 3, 1)
TESTS = Path(__file__).parents[1]
BAD_SHOPS = sorted(TESTS.glob("bad_files/files/*.shop.toml"))
SAMPLES = sorted(Path(str(shipped("sample_jobs"))).glob("*/jobs/*.toml"))
ODD: tuple[Any, ...] = (
    None, -1, 0, 1e300, "x", "", [], {}, [1], ["a"], {"a": 1}, True, "3 .. 2 h", "0 in", "1 in", "2 h", "200 %", 10**30,
    "0 %", "client", {"value": "1", "cause": "x"}, date(2027, 1, 1),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Plank:
    """A record of two fields."""

    length: float
    width: float = 1.0


def test_a_hole_is_told_when_it_is_asked_for_and_nothing_else() -> None:
    plank = with_holes(Plank, {"width": 2.0}, {"length"})
    assert isinstance(plank, Plank)
    assert plank.width == 2.0
    for asked in (
        lambda: plank.length,
        lambda: getattr(plank, "length", None),
        lambda: hasattr(plank, "length"),
    ):
        with pytest.raises(Unread):
            asked()
    assert getattr(plank, "height", None) is None


def test_a_record_with_holes_is_replaced_like_any_other() -> None:
    plank = replaced(with_holes(Plank, {"width": 2.0}, {"length"}), width=3.0)
    assert (plank.width, hollow(plank)) == (3.0, True)
    with pytest.raises(Unread):
        _ = plank.length
    assert replaced(Plank(1.0), width=4.0) == Plank(1.0, 4.0)
    assert not hollow(Plank(1.0))


def test_what_is_told_before_the_hole_stays_told() -> None:
    plank = with_holes(Plank, {"width": 2.0}, {"length"})

    def rules() -> Iterator[str]:
        yield "width"
        if plank.length > 1:
            yield "length"
        yield "never"

    assert judged(rules()) == ["width"]
    assert judged(iter("ab")) == ["a", "b"]


def test_nobody_can_tell_of_a_name_that_could_not_be_read() -> None:
    names = Partly({"timber": 0})
    assert "timber" in names
    assert (names["timber"], names.get("timber")) == (0, 0)
    for asked in (lambda: names["laminate"], lambda: "laminate" in names, lambda: names.get("laminate", 1)):
        with pytest.raises(Unread):
            asked()


def test_a_timber_of_the_shop_that_cannot_be_read_is_not_called_unknown(tmp_path: Path) -> None:
    """One fault of the shop file is one fault: the job that names the timber has none."""
    text = shipped("templates").joinpath("shop.toml").read_text("utf-8")
    (tmp_path / "shop.toml").write_text(f"{text}\n[species.bog-oak]\ndensity = 3\n", "utf-8")
    prices = shipped("templates").joinpath("prices.csv").read_text("utf-8")
    (tmp_path / "prices.csv").write_text(prices, "utf-8")
    job = (
        'format = 1\n[piece]\ntitle = "Bench"\n[[hardwood]]\npart = "seat"\nspecies = "bog-oak"\nlength = "40 in"\n'
        'width = "7 in"\nthickness = "3/4 in"\n'
    )
    assert [(one.file, one.path) for one in answer(job, tmp_path, (), DAY).problems] == [
        ("shop.toml", ("species", "bog-oak", "density"))
    ]


@pytest.mark.parametrize("file", BAD_SHOPS, ids=lambda file: file.stem)
def test_a_wrong_shop_file_hides_no_fault_of_the_job(file: Path, tmp_path: Path) -> None:
    """What is wrong in a part is told beside what is wrong in the shop file, and nothing is raised."""
    (tmp_path / "shop.toml").write_bytes(file.read_bytes())
    prices = shipped("templates").joinpath("prices.csv").read_text("utf-8")
    (tmp_path / "prices.csv").write_text(prices, "utf-8")
    job = 'format = 1\n[piece]\ntitle = "Bench"\n[[glass]]\npart = "top"\nlength = 3\nwidth = "0 in"\nthickness = "6 mm"\n'
    found = answer(job, tmp_path, (), DAY)
    told = {(one.file, one.code, one.path[-1:]) for one in found.problems}
    assert {("job", "not_text", ("length",)), ("job", "zero", ("width",))} <= told
    if file.stem not in (
        "amounts_above_the_price.shop",
        "fees_eat_the_price.shop",
        "margin_of_everything.shop",
    ):
        assert {one.file for one in found.problems} == {"job", "shop.toml"}  # those show at a price alone


@pytest.mark.parametrize(
    "setting",
    ["x", "a=", "hardwood=3", "prices.=1", "option.x=1", "piece.title.x=3", "pay.owner=3", "standard.milling=3",
     "cause.x=3", "terms.stages=[]", "delivery.place=[1,2]", "prices.white oak 4/4=x", "warnings=3", "format=2"],
)  # fmt: skip
def test_a_setting_that_cannot_be_is_told(setting: str) -> None:
    found = answer(next(one for one in SAMPLES if one.stem == "ash_bench"), None, (setting,), DAY)
    assert {one.file for one in found.problems} == {"settings"}
    assert found.priced is None


def places(tables: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    entries = (
        tables.items() if isinstance(tables, dict) else enumerate(tables) if isinstance(tables, list) else ()
    )
    for name, value in entries:
        yield (*path, name)
        yield from places(value, (*path, name))


def changed(tables: dict[str, Any], random_: random.Random) -> dict[str, Any]:
    """Tables in which one value is another one, or is gone."""
    tables = copy.deepcopy(tables)
    *steps, last = random_.choice(list(places(tables)))
    there: Any = tables
    for step in steps:
        there = there[step]
    if random_.random() < 0.25:
        del there[last]
    else:
        there[last] = copy.deepcopy(random_.choice(ODD))
    return tables


@pytest.mark.parametrize("count", [12, pytest.param(600, marks=pytest.mark.exhaustive)])
def test_no_job_whatever_is_wrong_in_it_raises(count: int) -> None:
    """Values of all kinds at any place of the samples: a price or a problem, and problems that programs can read."""
    random_ = random.Random(count)
    for number in range(count):
        sample = SAMPLES[number % len(SAMPLES)]
        tables = tomllib.loads(sample.read_text("utf-8"))
        for _ in range(random_.choice((1, 1, 2, 4))):
            tables = changed(tables, random_) if tables else tables
        found = answer(tables, sample.parents[1], (), DAY)
        options = options_of(found)
        assert found.priced is not None or found.problems
        for one in (*found.problems, *(one for option in options for one in option.problems)):
            json.dumps([one.path, dict(one.values)], allow_nan=False)
